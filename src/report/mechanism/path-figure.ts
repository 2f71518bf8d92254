import type { MechanismPath, MechanismTables } from '../../studies/index.ts';
import { shortLabel } from '../escape.ts';
import type { Annotation, Axis, Figure, FigureLayout, Shape, Trace } from '../figure.ts';
import { formatLevel, formatNumber, unitSuffix } from '../numbers.ts';
import { colour } from '../palette.ts';
import { wrapText } from '../text-width.ts';
import { labelFor, spanWords, stepDecimals } from './words.ts';

/** The drawing in px from the bottom; boxes stand in rows, arrows between them. */
interface Box {
  readonly column: string;
  readonly left: number;
  readonly right: number;
  readonly bottom: number;
  readonly top: number;
}

const BOX = 58;
const GAP = 74;

/** The arrows from elbow to strike with what goes along each; null where there is no arrow. */
export function pathFigure(tables: MechanismTables, level: number): Figure | null {
  const { paths } = tables;
  if (paths.length === 0) return null;
  const boxes = boxesOf(tables);
  const height = Math.max(...boxes.map(({ top }) => top)) + 6;
  const axis = (range: readonly [number, number]): Axis => ({
    range,
    tickvals: [],
    ticktext: [],
    showgrid: false,
    zeroline: false,
  });
  const layout = (narrow: boolean): FigureLayout => ({
    xaxis: axis([0, 100]),
    yaxis: axis([0, height]),
    shapes: boxes.map(shapeOf),
    annotations: [
      ...boxes.flatMap((box) => nameOf(box, paths, narrow)),
      ...paths.flatMap((path) => labelOf(path, boxes, narrow)),
    ],
    height: height + 40,
    showlegend: false,
  });
  return {
    id: 'paths',
    title: 'The arrows, inside golfers',
    caption: `What goes along each arrow when a swing is compared with other swings of the same golfer, the things before it held; in brackets the ${formatLevel(level)} interval. A dashed arrow cannot be told from none. The arrows are taken for granted, not shown by the data: the list of what would make them wrong stands below.`,
    description: paths
      .map((path) => `${labelFor(path.from)} to ${labelFor(path.to)}: ${told(path)} with ${path.step}`)
      .join('. ')
      .concat('.'),
    data: paths.flatMap((path) => arrowOf(path, boxes)),
    layout: layout(false),
    narrow: layout(true),
    table: {
      columns: [
        { key: 'from', label: 'from' },
        { key: 'to', label: 'to' },
        { key: 'step', label: 'with' },
        { key: 'value', label: 'goes along' },
        { key: 'low', label: 'low' },
        { key: 'high', label: 'high' },
        { key: 'unit', label: 'unit' },
      ],
      rows: paths.map(({ from, to, step, value, interval, unit }) => ({
        from: labelFor(from),
        to: labelFor(to),
        step,
        value,
        low: interval?.[0] ?? null,
        high: interval?.[1] ?? null,
        unit,
      })),
    },
  };
}

function boxesOf({ predictor, mediator, outcome, paths }: MechanismTables): Box[] {
  const strikes = paths.filter(({ from }) => from === outcome.column).map(({ to }) => to);
  const rows: (readonly (readonly [string, number, number])[])[] = [
    strikes.map((strike, k) => [
      strike,
      (k * 100) / strikes.length + 1,
      ((k + 1) * 100) / strikes.length - 1,
    ]),
    [[outcome.column, 1, 99]],
    ...(mediator === null ? [] : [[[mediator.column, 36, 99]] as const]),
    [[predictor.column, 1, 99]],
  ];
  return rows
    .filter((row) => row.length > 0)
    .flatMap((row, k) =>
      row.map(([column, left, right]) => ({
        column,
        left,
        right,
        bottom: 4 + k * (BOX + GAP),
        top: 4 + k * (BOX + GAP) + BOX,
      })),
    );
}

function shapeOf({ left, right, bottom, top }: Box): Shape {
  return {
    type: 'rect',
    x0: left,
    x1: right,
    y0: bottom,
    y1: top,
    xref: 'x',
    yref: 'y',
    layer: 'below',
    fillcolor: colour.raised,
    line: { color: colour.zoneEdge, width: 1 },
  };
}

/** What stands in a box: the number, and under it the step of it that the arrows from it are told for. */
function nameOf(
  { column, left, right, bottom, top }: Box,
  paths: readonly MechanismPath[],
  narrow: boolean,
): Annotation[] {
  const size = narrow ? 11.5 : 13.5;
  const width = ((right - left) / 100) * (narrow ? 318 : 640) - 12;
  const step = paths.find(({ from }) => from === column)?.step;
  const middle = (bottom + top) / 2;
  const shared = {
    x: (left + right) / 2,
    xref: 'x',
    yref: 'y',
    showarrow: false,
    xanchor: 'center',
    yanchor: 'middle',
  } as const;
  const name: Annotation = {
    ...shared,
    text: wrapText(shortLabel(labelFor(column), 60), width, size),
    y: step === undefined ? middle : middle + 10,
    font: { size, color: colour.ink, weight: 600 },
  };
  if (step === undefined) return [name];
  const words: Annotation = {
    ...shared,
    text: shortLabel(`arrows for ${step}`, narrow ? 44 : 80),
    y: middle - 12,
    font: { size: size - 1.5, color: colour.soft, weight: 400 },
  };
  return [name, words];
}

interface Placed {
  readonly x: number;
  readonly from: number;
  readonly to: number;
  /** Beside which side of the arrow its words stand. */
  readonly side: 'left' | 'right';
}

/** Where an arrow runs: straight down, past what it does not touch. */
function place(path: MechanismPath, boxes: readonly Box[]): Placed | null {
  const [from, to] = [path.from, path.to].map((column) => boxes.find((box) => box.column === column));
  if (from === undefined || to === undefined) return null;
  const direct = from.bottom - to.top > GAP + 1;
  const [left, right] = [Math.max(from.left, to.left), Math.min(from.right, to.right)];
  const x = direct ? 30 : right - left > 60 ? 62 : left + (right - left) * (right - left > 40 ? 0.42 : 0.2);
  return { x, from: from.bottom, to: to.top, side: direct ? 'left' : 'right' };
}

function toldFromNone({ interval, scale }: MechanismPath): boolean {
  const none = scale === 'odds-ratio' ? 1 : 0;
  return interval !== null && (interval[0] > none || interval[1] < none);
}

function arrowOf(path: MechanismPath, boxes: readonly Box[]): Trace[] {
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
      x: [x, x],
      y: [from, to + 2],
      hovertext: [words, words],
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

function told(path: MechanismPath): string {
  const { value, interval, scale, unit } = path;
  const decimals = stepDecimals(path);
  if (scale === 'odds-ratio') {
    const times = (size: number) => formatNumber(size, decimals);
    const range = interval === null ? '' : ` (${times(interval[0])} to ${times(interval[1])})`;
    return `odds × ${times(value)}${range}`;
  }
  return `${spanWords({ value, interval }, decimals)}${unitSuffix(unit)}`;
}

function labelOf(path: MechanismPath, boxes: readonly Box[], narrow: boolean): Annotation[] {
  const placed = place(path, boxes);
  if (placed === null) return [];
  const { x, from, to, side } = placed;
  const size = narrow ? 11 : 12.5;
  const decimals = stepDecimals(path);
  const odds = path.scale === 'odds-ratio';
  const show = (value: number) =>
    odds ? formatNumber(value, decimals) : `${value > 0 ? '+' : ''}${formatNumber(value, decimals)}`;
  const value = odds ? `odds × ${show(path.value)}` : `${show(path.value)}${unitSuffix(path.unit)}`;
  const range = path.interval === null ? '' : `\n(${show(path.interval[0])} to ${show(path.interval[1])})`;
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
