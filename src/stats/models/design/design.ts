import type { DataColumns, Model, ModelProblem } from '../contract.ts';
import type { AssembledSystem } from '../linear/assemble-system.ts';
import { type FixedEffect, fixedColumns, type KeptData } from './fixed-columns.ts';
import { frameColumns } from './frame-columns.ts';
import { readModelData } from './model-data.ts';
import { problemsOfRequest } from './not-available.ts';
import { type Grouping, groupingsOf, type RandomColumns, randomColumns } from './random-columns.ts';

/**
 * A model and its data made ready to be fitted. The fit is done in coordinates of its own: fixed columns
 * orthogonal, random columns of unit size (random-columns.ts), the outcome replaced by its least-squares
 * residual at unit size. `upper`, `start` and `outcomeScale` lead back.
 */
export interface Design {
  readonly model: Model;
  readonly rows: number;
  readonly leftOut: readonly { readonly row: number; readonly why: string }[];
  readonly notes: readonly string[];
  readonly fixedNames: readonly string[];
  readonly fixedEffects: readonly FixedEffect[];
  readonly groupings: readonly Grouping[];
  readonly terms: readonly RandomColumns[];
  readonly assembled: AssembledSystem;
  /** The rows behind the cross products, in the coordinates of the fit: fixed columns one after the other. */
  readonly columns: { readonly fixed: Float64Array; readonly outcome: Float64Array };
  /** What the usable rows hold, and which rows of the data (0-based) they are. */
  readonly kept: KeptData;
  readonly keptRows: Int32Array;
  /** p x p upper triangle: fitted fixed effects = upper x the effects as named. */
  readonly upper: Float64Array;
  /** Least-squares coefficients, which the fit only corrects. */
  readonly start: Float64Array;
  readonly outcomeScale: number;
  /** Sum of the logarithms of the weights. */
  readonly logWeights: number;
  /**
   * Puts another outcome (a number for every row of the data) into the cross products and returns its own start and
   * scale; null where the fixed effects reproduce it exactly. Throws where a row that is used has no number.
   */
  readonly frameOutcome: (
    outcome: Float64Array,
  ) => { readonly start: Float64Array; readonly scale: number } | null;
}

/** Builds the design, or says, all at once, what is wrong. */
export function buildDesign(model: Model, data: DataColumns): Design | readonly ModelProblem[] {
  const refused = problemsOfRequest(model);
  if (refused.length > 0) return refused;
  const read = readModelData(model, data);
  if (!('kept' in read)) return read;
  const { kept } = read;
  const n = kept.rows;
  const problems: ModelProblem[] = [];

  const weights = model.weights === undefined ? null : kept.numbers(model.weights);
  const bad = weights ? weights.findIndex((w) => !(w > 0)) : -1;
  if (weights && bad >= 0)
    return [
      {
        kind: 'not-a-number',
        where: '/weights',
        found: `the weight ${weights[bad]} in data row ${read.rows[bad]! + 1}`,
        expected: 'weights above zero',
        remedy: 'Leave the weight empty to leave the row out.',
      },
    ];
  const rootWeights = weights ? weights.map(Math.sqrt) : null;
  const logWeights = weights ? weights.reduce((sum, w) => sum + Math.log(w), 0) : 0;

  const offset = model.offset === undefined ? null : kept.numbers(model.offset);
  const raw = kept.numbers(model.outcome);
  const weighted = (y: Float64Array): Float64Array => {
    if (offset) for (let i = 0; i < n; i++) y[i] = y[i]! - offset[i]!;
    if (rootWeights) for (let i = 0; i < n; i++) y[i] = y[i]! * rootWeights[i]!;
    return y;
  };
  const outcome = weighted(raw.slice());
  if (raw.every((y) => y === raw[0]))
    problems.push({
      kind: 'constant-outcome',
      where: '/outcome',
      found: `${raw[0]} in every one of ${n} rows of ${model.outcome}`,
      expected: 'an outcome that varies',
      remedy: 'Check the column; there is nothing to explain.',
    });

  const fixed = fixedColumns(model, kept);
  if (!('names' in fixed)) return [...problems, ...fixed];
  const x = rootWeights ? fixed.values.map((value, at) => value * rootWeights[at % n]!) : fixed.values;
  const terms = randomColumns(model, kept, rootWeights);
  const framed = frameColumns({
    model,
    rows: n,
    entries: n,
    names: fixed.names,
    effects: fixed.effects,
    x,
    outcome,
    groupings: groupingsOf(model, kept),
    terms,
    problems,
    counts: null,
    resolution: null,
  });
  if (!('assembled' in framed)) return framed;
  const { frame, assembled } = framed;
  return {
    ...framed,
    leftOut: read.leftOut,
    notes: read.notes,
    kept,
    keptRows: read.rows,
    logWeights,
    frameOutcome(all) {
      const y = new Float64Array(n);
      for (let i = 0; i < n; i++) {
        y[i] = all[read.rows[i]!]!;
        if (!Number.isFinite(y[i]!))
          throw new Error(`refit: ${model.outcome} has no number in data row ${read.rows[i]! + 1}`);
      }
      const other = frame(weighted(y));
      if (other) assembled.fillOutcome(other.unexplained);
      return other;
    },
  };
}
