import type { NodeWindow } from '../../../stats/index.ts';
import { count, figure, list } from '../../shared/words.ts';
import type { CurveAxis } from '../input/axis.ts';

/** `62% of the downswing`, `84 ms before impact`, `impact`. */
export function timeWords({ unit }: Pick<CurveAxis, 'unit'>, time: number): string {
  if (unit === '%') return `${figure(time, 0)}% of the downswing`;
  return Math.round(-time) === 0 ? 'impact' : `${figure(-time, 0)} ms before impact`;
}

/** `from 62% to 88% of the downswing`, `at 62% of the downswing`, `from 120 to 40 ms before impact`. */
export function stretchWords(
  axis: Pick<CurveAxis, 'unit' | 'times'>,
  { from, to }: Pick<NodeWindow, 'from' | 'to'>,
): string {
  const [start, end] = [axis.times[from]!, axis.times[to]!];
  if (from === to) return `at ${timeWords(axis, start)}`;
  if (axis.unit === '%') return `from ${figure(start, 0)}% to ${timeWords(axis, end)}`;
  return Math.round(-end) === 0
    ? `from ${timeWords(axis, start)} to impact`
    : `from ${figure(-start, 0)} to ${timeWords(axis, end)}`;
}

/** Several stretches in one phrase. */
export function stretchesWords(
  axis: Pick<CurveAxis, 'unit' | 'times'>,
  windows: readonly Pick<NodeWindow, 'from' | 'to'>[],
): string {
  return list(windows.map((window) => stretchWords(axis, window)));
}

/** `12% after lead arm parallel`; empty where no instant but the ends is on the axis. */
export function afterInstant({ marks, unit }: Pick<CurveAxis, 'marks' | 'unit'>, time: number): string {
  if (marks.length < 3 || unit !== '%') return '';
  const last = [...marks].reverse().find(({ x }) => x <= time + 1e-9);
  if (last === undefined) return '';
  const after = Math.round(time - last.x);
  return after === 0 ? `at ${last.label}` : `${after}% of the downswing after ${last.label}`;
}

export const stretchCount = (n: number): string => count(n, 'stretch', 'stretches');
