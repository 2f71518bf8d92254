import { linearAxis } from './axis.ts';
import type { Annotation, Dash, Figure, FigureLayout, FigureTable, Shape, Trace } from './figure.ts';
import { narrowWidth, wideWidth } from './figure-svg.ts';
import { inUnit } from './numbers.ts';
import { colour } from './palette.ts';
import { textWidth } from './text-width.ts';

export interface Curve {
  readonly name: string;
  /** One value for each x; null breaks the curve. */
  readonly y: readonly (number | null)[];
  /** Half width of the band about the curve, such as 1.96 SD; drawn as two thin lines. */
  readonly halfWidth?: readonly (number | null)[];
}

export interface CurveFigureOptions {
  readonly id: string;
  readonly title: string;
  readonly caption: string;
  readonly description: string;
  readonly x: { readonly label: string; readonly unit: string; readonly values: readonly number[] };
  readonly y: { readonly label: string; readonly unit: string };
  /** At most five: each has a colour and a dash of its own. */
  readonly curves: readonly Curve[];
  /** Moments marked by a line across and their name, in the order of x. */
  readonly marks?: readonly { readonly x: number; readonly label: string }[];
  readonly table: FigureTable;
}

const LOOKS: readonly { readonly color: string; readonly dash: Dash }[] = [
  { color: colour.drill, dash: 'solid' },
  { color: colour.control, dash: 'dash' },
  { color: colour.third, dash: 'dot' },
  { color: colour.fourth, dash: 'solid' },
  { color: colour.ink, dash: 'dash' },
];
const MARK_SIZE = 12;
/** Part of the drawing's height that one row of names of marks takes. */
const ROW_SHARE = 0.08;
/** Width of a drawing that its axes take, px, about. */
const AXIS_WIDTH = 60;

/**
 * Curves over one axis, such as angles over time, with moments marked. The names of marks that stand close together
 * are set one above the other.
 *
 * @throws RangeError for more curves than there are looks, or a curve of another length than x
 * @example curveFigure({ id: 'flexion', x: { label: 'time from impact', unit: 'ms', values: [-10, 0] }, ... }).data.length // 1
 */
export function curveFigure(options: CurveFigureOptions): Figure {
  const { id, title, caption, description, x, curves, table } = options;
  if (curves.length > LOOKS.length)
    throw new RangeError(`curveFigure: at most ${LOOKS.length} curves are told apart; draw two figures`);
  for (const { name, y } of curves)
    if (y.length !== x.values.length)
      throw new RangeError(`curveFigure: ${name} has ${y.length} values for ${x.values.length} of x`);
  return {
    id,
    title,
    caption,
    description,
    data: curves.flatMap((curve, k) => tracesOf(curve, x.values, LOOKS[k]!)),
    layout: layoutOf(options, wideWidth),
    narrow: layoutOf(options, narrowWidth),
    table,
  };
}

function tracesOf(
  { name, y, halfWidth }: Curve,
  x: readonly number[],
  { color, dash }: { readonly color: string; readonly dash: Dash },
): Trace[] {
  const line = (values: readonly (number | null)[], width: number, shown: boolean): Trace => ({
    type: 'scatter',
    mode: 'lines',
    name,
    x,
    y: values,
    line: { color, width, dash: shown ? dash : 'solid' },
    legendgroup: name,
    showlegend: shown,
  });
  if (halfWidth === undefined) return [line(y, 2, true)];
  const edge = (sign: number): (number | null)[] =>
    y.map((value, i) => {
      const half = halfWidth[i] ?? null;
      return value === null || half === null ? null : value + sign * half;
    });
  return [line(edge(1), 0.75, false), line(edge(-1), 0.75, false), line(y, 2, true)];
}

function layoutOf({ x, y, curves, marks = [] }: CurveFigureOptions, width: number): FigureLayout {
  const narrow = width === narrowWidth;
  const xaxis = linearAxis(x.values, {
    title: `${x.label}${inUnit(x.unit)}`,
    ticks: narrow ? 4 : 7,
    margin: 0.02,
  });
  const rows = rowsOfMarks(marks, xaxis.range, width - AXIS_WIDTH);
  const used = Math.max(0, ...rows.map((row) => row + 1)) * ROW_SHARE;
  const plain = linearAxis(
    curves.flatMap(({ y: values, halfWidth }) =>
      values.flatMap((value, i) => [value, value === null ? null : value + (halfWidth?.[i] ?? 0)]),
    ),
    { title: `${y.label}${inUnit(y.unit)}` },
  );
  const [low, high] = plain.range;
  return {
    xaxis: { ...xaxis, showgrid: false },
    yaxis: { ...plain, range: [low, high + ((high - low) * used) / (1 - used)] },
    shapes: marks.map(
      ({ x: at }, k): Shape => ({
        type: 'line',
        x0: at,
        x1: at,
        y0: 0,
        y1: 1 - rows[k]! * ROW_SHARE - ROW_SHARE / 2,
        xref: 'x',
        yref: 'paper',
        layer: 'below',
        line: { color: colour.zoneEdge, width: 1 },
      }),
    ),
    annotations: marks.map(
      ({ x: at, label }, k): Annotation => ({
        text: label,
        x: at,
        y: 1 - rows[k]! * ROW_SHARE,
        xref: 'x',
        yref: 'paper',
        showarrow: false,
        // A name ends at its line where there is no room beyond it.
        ...(at > (xaxis.range[0] + xaxis.range[1]) / 2
          ? { xanchor: 'right' as const, xshift: -4 }
          : { xanchor: 'left' as const, xshift: 4 }),
        yanchor: 'top',
        font: { size: MARK_SIZE, color: colour.soft },
      }),
    ),
    height: narrow ? 340 : 380,
    showlegend: curves.length > 1,
  };
}

/** The row of each name, 0 at the top: the first in which it touches no name before it. */
function rowsOfMarks(
  marks: readonly { readonly x: number; readonly label: string }[],
  [low, high]: readonly [number, number],
  width: number,
): number[] {
  const taken: [number, number][][] = [];
  return marks.map(({ x, label }) => {
    const at = ((x - low) / (high - low)) * width;
    const wide = textWidth(label, MARK_SIZE) + 8;
    const span: [number, number] = x > (low + high) / 2 ? [at - wide, at] : [at, at + wide];
    // The line of a mark in a lower row would cross a name above it.
    const free = (row: [number, number][]): boolean => row.every(([a, b]) => span[1] <= a || span[0] >= b);
    let row = taken.findIndex(free);
    if (row < 0) row = taken.push([]) - 1;
    taken[row]!.push(span);
    return row;
  });
}
