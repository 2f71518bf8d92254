import { studentQuantile } from '../../../numerics/index.ts';
import { ratioInterval } from '../../../stats/index.ts';
import { type CellFit, type CellRow, fitCellModel, type SmallSample } from './cell-model.ts';
import type { Effect } from './effect.ts';

/** The share of one effect that another keeps, in percent; null where it means nothing. */
export interface Share {
  readonly percent: number;
  readonly interval: readonly [number, number] | null;
  readonly degreesOfFreedom: number | null;
}

/**
 * `part` as a share of `whole` by Fieller's interval. `gap` is whole minus part from the same model; its standard
 * error gives their covariance. Null where the whole cannot be told from zero: a share of nothing means nothing.
 */
export function shareOf(part: Effect, whole: Effect, gap: Effect, level: number): Share | null {
  if (part.value === null || whole.value === null || whole.value === 0) return null;
  if (part.standardError === null || whole.standardError === null || gap.standardError === null) return null;
  const df = Math.min(part.degreesOfFreedom ?? Infinity, whole.degreesOfFreedom ?? Infinity);
  const varianceNumerator = part.standardError ** 2;
  const varianceDenominator = whole.standardError ** 2;
  const { ratio, interval } = ratioInterval({
    numerator: part.value,
    denominator: whole.value,
    varianceNumerator,
    varianceDenominator,
    covariance: (varianceNumerator + varianceDenominator - gap.standardError ** 2) / 2,
    quantile: studentQuantile((1 + level) / 2, df),
  });
  if (interval === null) return null;
  return {
    percent: 100 * ratio,
    interval: [100 * interval[0], 100 * interval[1]],
    degreesOfFreedom: Number.isFinite(df) ? df : null,
  };
}

/** A row with the cell it falls into. */
export type RowInCell = CellRow & { readonly cell: string };

export interface CellQuestion {
  readonly outcome: string;
  readonly rows: readonly RowInCell[];
  readonly cells: readonly string[];
  readonly effects: readonly { readonly arm: string; readonly cell: string }[];
  readonly level: number;
  readonly degreesOfFreedom: SmallSample;
}

/** The cell model with sessions where some cells have several, without them otherwise; or why neither fits. */
export function fitCellsSomehow(question: CellQuestion): CellFit | string {
  const sessions = new Map<string, Set<string>>();
  for (const row of question.rows) {
    const key = JSON.stringify([row.golfer, row.cell]);
    sessions.set(key, (sessions.get(key) ?? new Set()).add(row.session));
  }
  const several = [...sessions.values()].filter((set) => set.size > 1).length;
  let fitted: CellFit | string = 'there are too few swings';
  for (const withSessions of several >= 3 ? [true, false] : [false]) {
    fitted = fitCellModel({ ...question, cellOf: ({ cell }) => cell, sessions: withSessions });
    if (typeof fitted !== 'string') return fitted;
  }
  return fitted;
}

/** How many golfers of an arm have a value in a cell. */
export function golfersIn(rows: readonly RowInCell[], arm: string, cell: string): number {
  return new Set(rows.filter((row) => row.arm === arm && row.cell === cell).map((row) => row.golfer)).size;
}
