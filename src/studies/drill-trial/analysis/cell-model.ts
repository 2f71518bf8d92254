import {
  type DataColumns,
  type Fit,
  type FitOutcome,
  fitGroups,
  fitModel,
  type Model,
  type OutcomeSums,
  type ValueSums,
} from '../../../stats/index.ts';
import { type Effect, effectOf, NO_EFFECT, type OwnChange } from './effect.ts';
import { ownChanges } from './own-changes.ts';

/** How degrees of freedom are found in small samples; `normal` only where intervals are made otherwise. */
export type SmallSample = 'kenward-roger' | 'satterthwaite' | 'normal';

/** Swings of one session in one cell of the design. */
export interface CellRow extends ValueSums {
  readonly golfer: string;
  readonly session: string;
  readonly arm: string;
  readonly covariates?: Readonly<Record<string, number | string | null>>;
}

/**
 * The baseline-constrained mixed model (Liang and Zeger 2000, Sankhya B 62:134-148; Fitzmaurice, Laird and Ware
 * 2011, Applied Longitudinal Analysis, ch. 5): every cell has its own mean, the arms share the mean of the first
 * cell (before the drill they differ only by chance) and differ in the cells of `effects`; a golfer's levels in the
 * cells vary together without a set pattern; sessions vary within a golfer where a cell has several.
 */
export interface CellModelRequest<Row extends CellRow = CellRow> {
  readonly outcome: string;
  readonly rows: readonly Row[];
  /** The cell of a row: its phase, or its phase and task. */
  readonly cellOf: (row: Row) => string;
  /** The first is the one in which arms share their mean. */
  readonly cells: readonly string[];
  /** Arms that differ from the rest in a cell. */
  readonly effects: readonly { readonly arm: string; readonly cell: string }[];
  readonly sessions: boolean;
  readonly level: number;
  readonly degreesOfFreedom: SmallSample;
  /** Adjusted for: every row has a value of each. */
  readonly covariates?: readonly string[];
  /** A fit of nearly the same rows, near which the search begins. */
  readonly near?: Fit | null;
}

export interface CellFit {
  readonly fit: Fit;
  readonly model: Model;
  effect(arm: string, cell: string): Effect;
  /** The mean of an arm in one cell minus its mean in another. */
  change(arm: string, to: string, from: string): Effect;
  /** Weights on the named effects (`arm at cell`). */
  contrast(weights: Readonly<Record<string, number>>): Effect;
  /** Golfers' own changes between two cells, each shrunken by how noisy his or her data are. */
  golferChanges(
    golfers: readonly { readonly golfer: string; readonly arm: string }[],
    to: string,
    from: string,
  ): ReadonlyMap<string, OwnChange>;
}

/** The name of an arm's own column in a cell. */
export function effectName(arm: string, cell: string): string {
  return `${arm} at ${cell}`;
}

/** The model itself, before there are rows. */
export function cellModel(request: Omit<CellModelRequest, 'rows' | 'cellOf'>): Model {
  const { outcome, cells, effects, sessions, level, degreesOfFreedom, covariates = [] } = request;
  return {
    outcome,
    distribution: 'normal',
    fixed: [
      'intercept',
      ...cells.slice(1).map((column) => ({ column })),
      ...effects.map(({ arm, cell }) => ({ column: effectName(arm, cell) })),
      ...covariates.map((column) => ({ column })),
    ],
    random: [
      { group: 'golfer_id', effects: [...cells], covariance: 'full' },
      ...(sessions ? [{ group: ['golfer_id', 'session_id'], effects: ['intercept' as const] }] : []),
    ],
    criterion: 'reml',
    inference: { degreesOfFreedom, level },
  };
}

/** Fits it, or says in words why it cannot be fitted. */
export function fitCellModel<Row extends CellRow>(request: CellModelRequest<Row>): CellFit | string {
  const { cells, level } = request;
  const first = cells[0]!;
  const effects = request.effects.map(({ arm, cell }) => effectName(arm, cell));
  const model = cellModel(request);
  const fit = attemptGroups(model, columnsOf(request), request.rows, request.near);
  if (typeof fit === 'string') return fit;

  const shift = (arm: string, cell: string, sign: number, into: Record<string, number>) => {
    if (cell !== first) into[cell] = (into[cell] ?? 0) + sign;
    const name = effectName(arm, cell);
    if (effects.includes(name)) into[name] = (into[name] ?? 0) + sign;
  };
  const between = (arm: string, to: string, from: string): Record<string, number> => {
    const weights: Record<string, number> = {};
    shift(arm, to, 1, weights);
    shift(arm, from, -1, weights);
    return weights;
  };
  const ask = (...question: Parameters<Fit['combine']>): Effect => effectOf(fit.combine(...question));
  return {
    fit,
    model,
    effect: (arm, cell) =>
      effects.includes(effectName(arm, cell))
        ? ask({ fixed: { [effectName(arm, cell)]: 1 } }, level)
        : NO_EFFECT,
    change: (arm, to, from) => ask({ fixed: between(arm, to, from) }, level),
    contrast: (weights) => ask({ fixed: weights }, level),
    golferChanges: (golfers, to, from) =>
      ownChanges(
        fit,
        golfers.map(({ golfer, arm }) => [
          golfer,
          {
            fixed: between(arm, to, from),
            random: [{ group: 'golfer_id', level: golfer, weights: { [to]: 1, [from]: -1 } }],
          },
        ]),
        level,
      ),
  };
}

/** A converged fit whose numbers mean something, or why there is none, in words. */
export function attempt(model: Model, data: DataColumns): Fit | string {
  return usable(fitModel(model, data));
}

/** The same from groups of swings that agree in every column of the model but the outcome. */
export function attemptGroups(
  model: Model,
  data: DataColumns,
  groups: readonly ValueSums[],
  near: Fit | null = null,
): Fit | string {
  return usable(fitGroups(model, data, sumsOf(groups), { near }));
}

function sumsOf(groups: readonly ValueSums[]): OutcomeSums {
  return {
    counts: Float64Array.from(groups, ({ count }) => count),
    means: Float64Array.from(groups, ({ mean }) => mean),
    squares: Float64Array.from(groups, ({ squares }) => squares),
  };
}

function usable(outcome: FitOutcome): Fit | string {
  if (!outcome.ok) return outcome.problems.map((problem) => problem.found).join('; ');
  const { fit } = outcome;
  if (!fit.result.diagnosis.converged) return 'the fit did not settle on an answer';
  const sure = fit.result.fixed.every(
    (term) => Number.isFinite(term.estimate) && Number.isFinite(term.standardError),
  );
  return sure ? fit : 'the fit gives no usable standard errors';
}

function columnsOf<Row extends CellRow>(request: CellModelRequest<Row>): DataColumns {
  const { rows, cellOf, cells, effects, covariates = [] } = request;
  const columns: Record<string, (number | string)[]> = {
    golfer_id: rows.map((row) => row.golfer),
    session_id: rows.map((row) => row.session),
  };
  for (const cell of cells) columns[cell] = rows.map((row) => (cellOf(row) === cell ? 1 : 0));
  for (const { arm, cell } of effects)
    columns[effectName(arm, cell)] = rows.map((row) => (row.arm === arm && cellOf(row) === cell ? 1 : 0));
  for (const name of covariates) columns[name] = rows.map((row) => row.covariates![name]!);
  return columns;
}
