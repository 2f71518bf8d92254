import type { GolferChange } from '../../studies/index.ts';
import type { GolferPart } from './golfer-rows.ts';

/**
 * Small panels, one for each golfer, all on one scale. They share one pair of axes, so that forty of them draw as fast as
 * one: along x a panel takes the space 0 to `panelWidth`, along y 0 to 1, and names stand in the gap above it.
 */
export const columns = 4;
/** From one panel to the next, where one phase to the next is 1. */
export const panelStep = 3;
export const panelWidth = 2.5;
const rowStep = 1.5;
export const rowHeight = 70;

/** Where the phases of a golfer stand within the panel. */
export const at = { before: 0.3, after: 1.2, later: 2.2 } as const;

export interface Cell {
  readonly golfer: GolferChange;
  readonly part: GolferPart;
  /** Of its left edge and its foot. */
  readonly x: number;
  readonly y: number;
}

export interface Scale {
  readonly low: number;
  readonly high: number;
}

export const inPanel = (value: number, { low, high }: Scale): number => (value - low) / (high - low);

/** What is drawn of a golfer: differences from the mean before; null where that or the value is missing. */
export function differences({
  before,
  after,
  retention,
}: GolferChange): Record<keyof typeof at, number | null> {
  const from = (value: number | null): number | null =>
    before === null || value === null ? null : value - before;
  return { before: from(before), after: from(after), later: from(retention) };
}

export function scaleOf(golfers: readonly GolferChange[], edge: number): Scale {
  const values = golfers.flatMap((golfer) => [
    ...Object.values(differences(golfer)).filter((value) => value !== null),
    ...(golfer.interval ?? []),
    -edge,
    edge,
    0,
  ]);
  const low = values.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
  const high = values.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
  const room = high > low ? (high - low) * 0.06 : 1;
  return { low: low - room, high: high + room };
}

/** Each part begins a row of its own. */
export function cellsOf(parts: readonly GolferPart[]): Cell[] {
  let row = 0;
  return parts.flatMap((part) => {
    const first = row;
    row += Math.ceil(part.golfers.length / columns);
    return part.golfers.map((golfer, k) => ({
      golfer,
      part,
      x: (k % columns) * panelStep,
      y: -(first + Math.floor(k / columns)) * rowStep,
    }));
  });
}
