import { createStream } from '../../../numerics/index.ts';
import type { DataColumns, FitOutcome, Model, ModelProblem } from '../contract.ts';
import { columnsNamed } from '../design/columns-named.ts';
import { buildDesign, type Design } from '../design/design.ts';
import { fitModel } from '../fit-model.ts';
import { hasResidualStructure } from '../residual/has-structure.ts';
import { type Quantity, quantitiesOf } from './quantities.ts';
import { createRefitter, type Refit, type Refitter } from './refitter.ts';

/** A model and its data made ready to be fitted again and again: only sums over the outcome change. */
export interface PreparedModel {
  readonly model: Model;
  readonly data: DataColumns;
  /** What every refit estimates, in this order. */
  readonly quantities: readonly Quantity[];
  /** Whether the data hold the outcome; without it the model can be simulated and refitted, not fitted. */
  readonly observed: boolean;
  /**
   * Fits another outcome (one number for each row of the data; those of rows that are left out are not read).
   * The design is not built again: this is many times faster than `fit`. Throws where a row that is used has no number.
   */
  refit(outcome: Float64Array): Refit;
  /** The whole fit, of the data's own outcome or of another one. */
  fit(outcome?: Float64Array): FitOutcome;
}

/** A model made ready for many refits, or every reason why it cannot be. */
export type PreparedOutcome =
  | { readonly ok: true; readonly prepared: PreparedModel }
  | { readonly ok: false; readonly problems: readonly ModelProblem[] };

const refitters = new WeakMap<PreparedModel, Refitter>();

/** The machine behind a prepared model. Throws for one that `prepareModel` did not make. */
export function refitterOf(prepared: PreparedModel): Refitter {
  const refitter = refitters.get(prepared);
  if (!refitter) throw new Error('refitterOf: hand in what prepareModel returned');
  return refitter;
}

/**
 * Prepares a normal model with constant residual variance for many refits. The outcome's column may be absent from the
 * data: the model can then be simulated.
 *
 * @example
 * const outcome = prepareModel({ outcome: 'y', fixed: ['intercept'] }, { y: [1, 2, 6] });
 * outcome.ok && outcome.prepared.refit(Float64Array.of(2, 3, 7)).values[0] // 4
 */
export function prepareModel<Row = Record<string, unknown>>(
  model: Model<Row>,
  data: DataColumns,
): PreparedOutcome {
  const plain = model as unknown as Model;
  const refused = notRefitted(plain);
  if (refused.length > 0) return { ok: false, problems: refused };
  const observed = Object.hasOwn(data, plain.outcome);
  const design = buildDesign(plain, observed ? data : { ...data, [plain.outcome]: anyOutcome(plain, data) });
  if (!isDesign(design)) return { ok: false, problems: design };
  const refitter = createRefitter(design);
  const prepared: PreparedModel = {
    model: plain,
    data,
    quantities: quantitiesOf(design),
    observed,
    refit: (outcome) => refitter.refitRows(outcome),
    fit(outcome) {
      if (outcome) return fitModel(plain, { ...data, [plain.outcome]: outcome });
      if (!observed) throw new Error(`fit: the data have no ${plain.outcome}; hand in an outcome`);
      return fitModel(plain, data);
    },
  };
  refitters.set(prepared, refitter);
  return { ok: true, prepared };
}

function notRefitted(model: Model): ModelProblem[] {
  const found =
    model.distribution !== undefined && model.distribution !== 'normal'
      ? `the distribution ${model.distribution}`
      : hasResidualStructure(model)
        ? 'a residual variance or correlation that is estimated'
        : model.errorSd !== undefined
          ? 'a column measured with error'
          : null;
  return found === null
    ? []
    : [
        {
          kind: 'not-available',
          where: '/',
          found,
          expected: 'a normal model with constant residual variance',
          remedy: 'Refit such a model from its rows with fitModel.',
        },
      ];
}

/** Numbers that stand for an outcome that does not exist: only the design is built from them. */
function anyOutcome(model: Model, data: DataColumns): Float64Array {
  const other = columnsNamed(model).find(({ column }) => Object.hasOwn(data, column));
  const stream = createStream(0, 'any outcome');
  return Float64Array.from({ length: other ? data[other.column]!.length : 0 }, () => stream.normal());
}

function isDesign(value: Design | readonly unknown[]): value is Design {
  return !Array.isArray(value);
}
