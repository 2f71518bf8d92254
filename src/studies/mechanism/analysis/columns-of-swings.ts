import type { MechanismSwing } from '../input/swings.ts';
import { completeSwings, indexed } from './frame.ts';

/** Columns of single swings, for models that need each of them. */
export interface SwingColumns {
  readonly swings: readonly MechanismSwing[];
  readonly golfers: number;
  readonly golferAt: Int32Array;
  readonly raw: Readonly<Record<string, Float64Array>>;
  /** Less the golfer's mean. */
  readonly within: Readonly<Record<string, Float64Array>>;
  /** The golfer's mean less the mean of the golfers' means. */
  readonly between: Readonly<Record<string, Float64Array>>;
}

/** The swings that have all the columns. */
export function columnsOfSwings(all: readonly MechanismSwing[], columns: readonly string[]): SwingColumns {
  const swings = completeSwings(all, columns);
  const golfer = indexed(swings.map((swing) => swing.golfer));
  const raw: Record<string, Float64Array> = {};
  const within: Record<string, Float64Array> = {};
  const between: Record<string, Float64Array> = {};
  for (const column of columns) {
    const values = Float64Array.from(swings, (swing) => swing.values[column]!);
    const sums = new Float64Array(golfer.names.length);
    const counts = new Float64Array(golfer.names.length);
    values.forEach((value, i) => {
      sums[golfer.at[i]!] = sums[golfer.at[i]!]! + value;
      counts[golfer.at[i]!] = counts[golfer.at[i]!]! + 1;
    });
    const means = sums.map((sum, g) => sum / counts[g]!);
    let centre = 0;
    for (const mean of means) centre += mean / means.length;
    raw[column] = values;
    within[column] = values.map((value, i) => value - means[golfer.at[i]!]!);
    between[column] = Float64Array.from(golfer.at, (g) => means[g]! - centre);
  }
  return { swings, golfers: golfer.names.length, golferAt: golfer.at, raw, within, between };
}
