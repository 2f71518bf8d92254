import type { Axis } from './figure.ts';
import { formatNumber } from './numbers.ts';

/** Steps that people count in. */
const steps = [1, 2, 5, 10];

/**
 * Round numbers from within [low, high], about `target` of them, never more than twice that.
 * @example niceTicks(-3.4, 9.1, 5) // { values: [-2, 0, 2, 4, 6, 8], decimals: 0 }
 */
export function niceTicks(low: number, high: number, target = 5): { values: number[]; decimals: number } {
  const span = high - low;
  if (!(span > 0) || !Number.isFinite(span)) return { values: [low], decimals: 1 };
  const rough = span / target;
  const power = Math.floor(Math.log10(rough));
  const base = 10 ** power;
  // The first step of at least the rough size, with some grace, so that a step of 2 serves for 2.5.
  const step = (steps.find((candidate) => candidate * base * 1.3 >= rough) ?? 10) * base;
  const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  const values: number[] = [];
  const first = Math.ceil(low / step - 1e-9);
  for (let k = first; k * step <= high + step * 1e-9; k++) {
    values.push(Number((k * step).toFixed(Math.min(20, decimals))));
  }
  return { values, decimals };
}

/** What an axis is titled and how its ticks are set. */
export interface LinearAxisOptions {
  readonly title?: string;
  /** About how many ticks. */
  readonly ticks?: number;
  /** Room beyond the outermost values, as a part of the span. */
  readonly margin?: number;
  readonly format?: (value: number, decimals: number) => string;
}

/**
 * An axis whose range covers the values (and 0 or other `values` given with them), with round ticks; from 0 to 1 where there
 * is no value.
 *
 * @example
 * // From 0 to 10 with a twentieth of the span beyond each end
 * linearAxis([0, 4, null, 10], { title: 'lean (°)' })
 * // { title: { text: 'lean (°)' }, range: [-0.5, 10.5], tickvals: [0, 2, 4, 6, 8, 10], ticktext: ['0', '2', '4', '6', '8', '10'], showgrid: true }
 */
export function linearAxis(values: readonly (number | null)[], options: LinearAxisOptions = {}): Axis {
  const known = values.filter((value): value is number => value !== null && Number.isFinite(value));
  let low = known.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
  let high = known.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
  if (known.length === 0) [low, high] = [0, 1];
  if (high - low <= Math.max(1e-12 * Math.abs(high), 1e-300)) {
    const room = Math.abs(low) < 1e-300 ? 1 : Math.abs(low) * 0.1;
    [low, high] = [low - room, high + room];
  }
  const room = (high - low) * (options.margin ?? 0.05);
  const range: [number, number] = [low - room, high + room];
  const { values: tickvals, decimals } = niceTicks(range[0], range[1], options.ticks ?? 5);
  const format = options.format ?? formatNumber;
  return {
    ...(options.title === undefined ? {} : { title: { text: options.title } }),
    range,
    tickvals,
    ticktext: tickvals.map((value) => format(value, decimals)),
    showgrid: true,
  };
}
