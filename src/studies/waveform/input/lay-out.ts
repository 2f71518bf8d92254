import { evaluateSpline } from '../../../numerics/index.ts';
import { ownTime } from '../../../stats/index.ts';
import { type CurveAxis, evenTimes, type TimeAxis } from './axis.ts';
import type { SwingCurve } from './swing-curves.ts';

/** Swings on one axis: a row of values for each swing that could be laid on it. */
export interface LaidOut {
  readonly axis: CurveAxis;
  readonly swings: readonly { readonly swing: SwingCurve; readonly values: Float64Array }[];
  readonly leftOut: readonly { readonly id: string; readonly why: string }[];
}

/** An instant is used for registration when at least this share of swings have it. */
const SHARE_WITH_INSTANT = 0.9;

/** The instants between top and impact by which these swings can be registered, in order of their mean time. */
export function sharedInstants(
  swings: readonly SwingCurve[],
): { readonly name: string; readonly pct: number }[] {
  const names = [...new Set(swings.flatMap(({ instants }) => [...instants.keys()]))];
  return names
    .filter(
      (name) =>
        swings.filter(({ instants }) => instants.has(name)).length >= SHARE_WITH_INSTANT * swings.length,
    )
    .map((name) => ({ name, pct: meanOverGolfers(swings, name) }))
    .sort((a, b) => a.pct - b.pct);
}

/** Mean over golfers of each golfer's mean time of an instant: no golfer counts more for having more swings. */
function meanOverGolfers(swings: readonly SwingCurve[], name: string): number {
  const own = new Map<string, number[]>();
  for (const { golfer, instants } of swings) {
    const time = instants.get(name);
    if (time !== undefined) own.set(golfer, [...(own.get(golfer) ?? []), time]);
  }
  return mean([...own.values()].map(mean));
}

export function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

/** Lays swings on an axis; null where none of them can be. */
export function layOut(swings: readonly SwingCurve[], kind: TimeAxis): LaidOut | null {
  if (swings.length === 0) return null;
  if (kind === 'milliseconds') return inMilliseconds(swings);
  const ends = [
    { x: 0, label: 'top' },
    { x: 100, label: 'impact' },
  ] as const;
  const times = evenTimes(0, 100);
  const instants = sharedInstants(swings);
  const marks = [ends[0], ...instants.map(({ name, pct }) => ({ x: pct, label: name })), ends[1]];
  if (kind === 'percent') {
    const axis: CurveAxis = { kind, label: 'part of the downswing', unit: '%', times, marks };
    return { axis, swings: swings.map((swing) => ({ swing, values: sampled(swing, times) })), leftOut: [] };
  }
  if (instants.length === 0) return null;
  const common = marks.map(({ x }) => x);
  const leftOut: { id: string; why: string }[] = [];
  const laid: { swing: SwingCurve; values: Float64Array }[] = [];
  for (const swing of swings) {
    const own = [0, ...instants.map(({ name }) => swing.instants.get(name) ?? Number.NaN), 100];
    if (own.some((time) => Number.isNaN(time)))
      leftOut.push({ id: swing.swing, why: 'an instant that curves are registered by was not found' });
    else if (own.some((time, k) => k > 0 && time <= own[k - 1]!))
      leftOut.push({ id: swing.swing, why: 'its instants are in another order than those of other swings' });
    else
      laid.push({
        swing,
        values: sampled(
          swing,
          times.map((time) => ownTime(common, own, time)),
        ),
      });
  }
  if (laid.length === 0) return null;
  const axis: CurveAxis = {
    kind,
    label: 'part of the downswing, instants laid over one another',
    unit: '%',
    times,
    marks,
  };
  return { axis, swings: laid, leftOut };
}

function inMilliseconds(swings: readonly SwingCurve[]): LaidOut | null {
  const timed = swings.filter(({ downswing_ms }) => downswing_ms !== null && downswing_ms > 0);
  if (timed.length === 0) return null;
  const reach = Math.floor(
    timed.reduce((least, { downswing_ms }) => Math.min(least, downswing_ms!), Infinity),
  );
  const times = evenTimes(-reach, 0);
  return {
    axis: {
      kind: 'milliseconds',
      label: 'time from impact',
      unit: 'ms',
      times,
      marks: [{ x: 0, label: 'impact' }],
    },
    swings: timed.map((swing) => ({
      swing,
      values: sampled(
        swing,
        times.map((time) => 100 * (1 + time / swing.downswing_ms!)),
      ),
    })),
    leftOut: swings
      .filter((swing) => !timed.includes(swing))
      .map(({ swing }) => ({ id: swing, why: 'how long the downswing took (downswing_ms) is missing' })),
  };
}

function sampled({ spline }: SwingCurve, pct: readonly number[]): Float64Array {
  const [first, last] = [spline.knots[0]!, spline.knots.at(-1)!];
  return Float64Array.from(pct, (at) => evaluateSpline(spline, Math.min(last, Math.max(first, at))));
}
