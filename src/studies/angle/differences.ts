import type { AngleSeries } from '../../kinematics/index.ts';
import { meanInterval, moments } from '../../stats/index.ts';
import type { AngleDifference } from '../angle-tables.ts';
import type { PublishedAngles } from './published.ts';

/** The short way round from b to a, in (-180, 180]. */
export function turnBetween(a: number, b: number): number {
  const turn = (((a - b) % 360) + 360) % 360;
  return turn > 180 ? turn - 360 : turn;
}

/** Published angles set against those worked out; rows that give no angle are listed by what is missing. */
export function differencesOf(
  { series }: AngleSeries,
  { values }: PublishedAngles,
): {
  readonly differences: readonly AngleDifference[];
  readonly without: readonly { readonly id: string; readonly why: string }[];
} {
  const differences: AngleDifference[] = [];
  const without: { id: string; why: string }[] = [];
  for (const { row, angle, value, decimals } of values) {
    const own = series[row - 1] as unknown as Readonly<Record<string, unknown>> | undefined;
    const worked = own?.[angle];
    if (typeof worked !== 'number') {
      without.push({
        id: `row ${row}, ${angle.replace('_deg', '')}`,
        why:
          own === undefined
            ? 'published, but the points have no such row'
            : 'published, but the points of the row give no angle',
      });
      continue;
    }
    const sd = own?.[`${angle}_sd`];
    const difference = turnBetween(worked, value);
    differences.push({
      row,
      angle,
      published: value,
      worked,
      difference,
      noiseSd: typeof sd === 'number' ? sd : null,
      everyDigit: Math.abs(difference) <= 0.5 * 10 ** -decimals * (1 + 1e-9),
    });
  }
  return { differences, without };
}

/** How far a set of differences is from none. */
export interface DifferenceSummary {
  readonly rows: number;
  readonly rootMeanSquare: number;
  readonly mean: number;
  /** Of the mean over rows, by t; null for one row. */
  readonly meanInterval: readonly [number, number] | null;
  readonly largest: AngleDifference;
  /** Where the largest could lie in size, by marker noise; the size itself where no noise is given. */
  readonly largestInterval: readonly [number, number];
}

const WITHIN = 1.959964;

/**
 * @throws Error where there is no difference; ask for the list first
 */
export function summarise(differences: readonly AngleDifference[], level = 0.95): DifferenceSummary {
  const [first] = differences;
  if (first === undefined) throw new Error('summarise: there is no difference; look at the list first');
  const values = differences.map(({ difference }) => difference);
  const largest = differences.reduce(
    (most, one) => (Math.abs(one.difference) > Math.abs(most.difference) ? one : most),
    first,
  );
  const room = WITHIN * (largest.noiseSd ?? 0);
  const size = Math.abs(largest.difference);
  return {
    rows: values.length,
    rootMeanSquare: Math.sqrt(values.reduce((sum, value) => sum + value ** 2, 0) / values.length),
    mean: moments(values)!.mean,
    meanInterval: meanInterval(values, level),
    largest,
    largestInterval: [Math.max(0, size - room), size + room],
  };
}
