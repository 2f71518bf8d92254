import type { MechanismPath } from '../../studies/index.ts';
import type { Annotation, Trace } from '../figure.ts';
import { formatNumber, unitSuffix } from '../numbers.ts';
import { colour } from '../palette.ts';
import { type Box, GAP } from './path-boxes.ts';
import { labelFor, spanWords, stepDecimals } from './words.ts';

interface Placed {
  readonly x: number;
  readonly from: number;
  readonly to: number;
  /** Beside which side of the arrow its words stand. */
  readonly side: 'left' | 'right';
  /** Whether the room beside it, on a phone, is that of one of several boxes. */
  readonly tight: boolean;
}

/** Where an arrow runs: straight down, past what it does not touch. */
function place(path: MechanismPath, boxes: readonly Box[]): Placed | null {
  const [from, to] = [path.from, path.to].map((column) => boxes.find((box) => box.column === column));
  if (from === undefined || to === undefined) return null;
  const direct = from.bottom - to.top > GAP + 1;
  const [left, right] = [Math.max(from.left, to.left), Math.min(from.right, to.right)];
  const x = direct ? 30 : right - left > 60 ? 62 : left + (right - left) * (right - left > 40 ? 0.42 : 0.2);
  const tight = direct || right - left <= 60;
  return { x, from: from.bottom, to: to.top, side: direct ? 'left' : 'right', tight };
}

function toldFromNone({ interval, scale }: MechanismPath): boolean {
  const none = scale === 'odds-ratio' ? 1 : 0;
  return interval !== null && (interval[0] > none || interval[1] < none);
}

export function arrowOf(path: MechanismPath, boxes: readonly Box[]): Trace[] {
  const placed = place(path, boxes);
  if (placed === null) return [];
  const { x, from, to } = placed;
  const sure = toldFromNone(path);
  const hue = sure ? colour.drill : colour.soft;
  const words = `${labelFor(path.from)}\nto ${labelFor(path.to)}\n${told(path)}\nwith ${path.step}`;
  const shared = {
    type: 'scatter',
    mode: 'lines',
    name: `${path.from} to ${path.to}`,
    showlegend: false,
  } as const;
  return [
    {
      ...shared,
      // It answers in its middle, once.
      x: [x, x, x],
      y: [from, (from + to) / 2, to + 2],
      hovertext: ['', words, ''],
      line: { color: hue, width: sure ? 3 : 2, dash: sure ? 'solid' : 'dash' },
    },
    {
      ...shared,
      x: [x - 1.3, x, x + 1.3],
      y: [to + 11, to + 1, to + 11],
      line: { color: hue, width: sure ? 3 : 2 },
    },
  ];
}

export function told(path: MechanismPath): string {
  const { value, interval, scale, unit } = path;
  const decimals = stepDecimals(path);
  if (scale === 'odds-ratio') {
    const times = (size: number) => formatNumber(size, decimals);
    const range = interval === null ? '' : ` (${times(interval[0])} to ${times(interval[1])})`;
    return `odds × ${times(value)}${range}`;
  }
  return `${spanWords({ value, interval }, decimals)}${unitSuffix(unit)}`;
}

export function labelOf(path: MechanismPath, boxes: readonly Box[], narrow: boolean): Annotation[] {
  const placed = place(path, boxes);
  if (placed === null) return [];
  const { x, from, to, side, tight } = placed;
  const size = narrow ? 11 : 12.5;
  const decimals = stepDecimals(path);
  const odds = path.scale === 'odds-ratio';
  const show = (value: number) =>
    odds ? formatNumber(value, decimals) : `${value > 0 ? '+' : ''}${formatNumber(value, decimals)}`;
  const value = odds ? `odds × ${show(path.value)}` : `${show(path.value)}${unitSuffix(path.unit)}`;
  // On a phone there is little room left of the first arrow, and between those to boxes that share a row.
  const gap = narrow && tight ? '\n' : ' ';
  const range =
    path.interval === null ? '' : `\n(${show(path.interval[0])}${gap}to ${show(path.interval[1])})`;
  return [
    {
      text: `${value}${range}`,
      x,
      y: (from + to) / 2 + (side === 'right' ? 2 : 0),
      xref: 'x',
      yref: 'y',
      showarrow: false,
      xanchor: side === 'left' ? 'right' : 'left',
      yanchor: 'middle',
      xshift: side === 'left' ? -9 : 9,
      font: { size, color: toldFromNone(path) ? colour.ink : colour.soft, weight: 400 },
    },
  ];
}
