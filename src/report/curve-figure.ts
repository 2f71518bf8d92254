import { linearAxis } from './axis.ts';
import { shortLabel } from './escape.ts';
import type { Annotation, Dash, Figure, FigureLayout, FigureTable, Shape } from './figure.ts';
import { narrowWidth, wideWidth } from './figure-svg.ts';
import { decimalsFor, formatQuantity, inUnit } from './numbers.ts';
import { colour } from './palette.ts';
import { textWidth } from './text-width.ts';

/** One curve of a figure. */
export interface Curve {
  readonly name: string;
  /** One value for each x; null breaks the curve. */
  readonly y: readonly (number | null)[];
}

/** What a figure of curves shows. */
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
 * are set one below the other.
 *
 * @throws RangeError for more curves than there are looks, or a curve of another length than x
 * @example
 * const words = { id: 'flexion', title: 'The elbow straightens', caption: '', description: 'From 40 to 20 degrees.' };
 * const x = { label: 'time from impact', unit: 'ms', values: [-10, 0] };
 * const curves = [{ name: 'G01', y: [40, 20] }];
 * const y = { label: 'flexion', unit: 'deg' };
 * curveFigure({ ...words, x, y, curves, table: { columns: [], rows: [] } }).data.length // 1
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
    data: curves.map(({ name, y }, k) => ({
      type: 'scatter',
      mode: 'lines',
      name,
      x: x.values,
      y,
      hovertext: pointWords(options, name, y),
      line: { ...LOOKS[k]!, width: 2 },
    })),
    layout: layoutOf(options, wideWidth),
    narrow: layoutOf(options, narrowWidth),
    table,
  };
}

/** What is told at each x: the curve, where on it, and its value; two figures more than the curve's tenth. */
function pointWords({ x, y }: CurveFigureOptions, name: string, values: Curve['y']): string[] {
  const known = values.filter((value): value is number => value !== null && Number.isFinite(value));
  const decimals = decimalsFor((Math.max(...known) - Math.min(...known)) / 20 || null);
  const along = decimalsFor(Math.abs((x.values.at(-1) ?? 0) - (x.values[0] ?? 0)) / 50 || null, 2);
  return values.map((value, k) =>
    value === null
      ? ''
      : `${shortLabel(name, 40)}\n${formatQuantity(x.values[k], x.unit, along)}: ${formatQuantity(value, y.unit, decimals)}`,
  );
}

function layoutOf({ x, y, curves, marks = [] }: CurveFigureOptions, width: number): FigureLayout {
  const narrow = width === narrowWidth;
  const xaxis = linearAxis(x.values, {
    title: `${x.label}${inUnit(x.unit)}`,
    ticks: narrow ? 4 : 7,
    margin: 0.02,
  });
  const { shapes, annotations, room } = marksOf(marks, xaxis.range, width);
  const plain = linearAxis(
    curves.flatMap(({ y: values }) => values),
    { title: `${y.label}${inUnit(y.unit)}` },
  );
  const [low, high] = plain.range;
  return {
    xaxis: { ...xaxis, showgrid: false },
    yaxis: { ...plain, range: [low, high + ((high - low) * room) / (1 - room)] },
    shapes,
    annotations,
    height: narrow ? 340 : 380,
    showlegend: curves.length > 1,
  };
}

/**
 * Moments marked by a line down from their name, for a drawing of this width, px; `room` is the part of the drawing's
 * height that the names need at its top.
 */
export function marksOf(
  marks: readonly { readonly x: number; readonly label: string }[],
  range: readonly [number, number],
  width: number,
): { readonly shapes: readonly Shape[]; readonly annotations: readonly Annotation[]; readonly room: number } {
  const places = placesOfMarks(marks, range, width - AXIS_WIDTH);
  return {
    room: Math.max(0, ...places.map(({ row }) => row + 1)) * ROW_SHARE,
    shapes: marks.map(
      ({ x: at }, k): Shape => ({
        type: 'line',
        x0: at,
        x1: at,
        y0: 0,
        y1: 1 - (places[k]!.row + 0.5) * ROW_SHARE,
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
        y: 1 - places[k]!.row * ROW_SHARE,
        xref: 'x',
        yref: 'paper',
        showarrow: false,
        xanchor: places[k]!.side,
        xshift: places[k]!.side === 'right' ? -4 : 4,
        yanchor: 'top',
        font: { size: MARK_SIZE, color: colour.soft },
      }),
    ),
  };
}

/**
 * The row of each name, 0 at the top, and whether it ends at its line (`right`) or, without room there, begins at it.
 * A name that would touch those of later marks goes below them, so that its own line, which hangs from it, crosses none.
 */
function placesOfMarks(
  marks: readonly { readonly x: number; readonly label: string }[],
  [low, high]: readonly [number, number],
  width: number,
): { readonly row: number; readonly side: 'left' | 'right' }[] {
  const later: { readonly from: number; readonly to: number; readonly row: number }[] = [];
  const places = [...marks].reverse().map(({ x, label }) => {
    const at = ((x - low) / (high - low)) * width;
    const wide = textWidth(label, MARK_SIZE) + 8;
    const side = at >= wide ? ('right' as const) : ('left' as const);
    const [from, to] = side === 'right' ? [at - wide, at] : [at, at + wide];
    const touched = later.filter((other) => to >= other.from && from <= other.to);
    const row = touched.reduce((most, other) => Math.max(most, other.row + 1), 0);
    later.push({ from, to, row });
    return { row, side };
  });
  return places.reverse();
}
