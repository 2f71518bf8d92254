import type { Axis, AxisId, Figure, FigureLayout, Trace } from './figure.ts';
import { textWidth, wrapText } from './text-width.ts';

/** The room around the panels, the legend's rows and the panels' axes: one geometry for both drawings. */

export const sizes = { tick: 12, title: 12.5, legend: 12.5, line: 1.3 } as const;
/** Below this width, in px, a figure is drawn by its `narrow` layout. */
export const narrowBelow = 480;
const legendRow = 24;
/** Width of the sample before a name, in px. */
export const legendMark = 36;
const legendGap = 18;

export interface LegendEntry {
  readonly trace: Trace;
  /** From the left edge and the top of the drawing. */
  readonly x: number;
  readonly y: number;
}

export interface Panel {
  readonly x: AxisId<'x'>;
  readonly y: AxisId<'y'>;
}

export interface Frame {
  readonly width: number;
  readonly height: number;
  readonly layout: FigureLayout;
  readonly margin: {
    readonly left: number;
    readonly right: number;
    readonly top: number;
    readonly bottom: number;
  };
  readonly legend: readonly LegendEntry[];
  /** Part of the top margin that the legend takes, in px. */
  readonly legendHeight: number;
  readonly panels: readonly Panel[];
}

/** The axis of an id such as `x2`. Throws where the layout has none. */
export function axisOf(layout: FigureLayout, id: string): Axis {
  const key = `${id[0]}axis${id.slice(1)}` as 'xaxis';
  const axis = layout[key];
  if (axis === undefined) throw new Error(`axisOf: the layout has no ${key}; add it or drop what uses it`);
  return axis;
}

/** The title of an x axis, broken where it would be wider than its panel; '' where there is none. */
export function xTitle({ title, domain: [from, to] = [0, 1] }: Axis, width: number): string {
  return title === undefined ? '' : wrapText(title.text, (width - 40) * (to - from), sizes.title);
}

/** The pairs of axes that are drawn: those of the traces, and `x` with `y`. */
function panelsOf(figure: Figure): Panel[] {
  const found = new Map<string, Panel>([['x y', { x: 'x', y: 'y' }]]);
  for (const { xaxis = 'x', yaxis = 'y' } of figure.data) {
    found.set(`${xaxis} ${yaxis}`, { x: xaxis, y: yaxis });
  }
  return [...found.values()];
}

/** In one row where they fit, otherwise in columns as wide as the widest, as plotly.js sets them too. */
function legendOf(figure: Figure, layout: FigureLayout, width: number): LegendEntry[] {
  if (layout.showlegend === false) return [];
  const traces = figure.data.filter(({ showlegend }) => showlegend !== false);
  const wide = traces.map(({ name }) => legendMark + textWidth(name, sizes.legend) + legendGap);
  const room = width - 2 + legendGap;
  if (wide.reduce((sum, own) => sum + own, 0) <= room) {
    let x = 2;
    return traces.map((trace, k) => {
      x += k === 0 ? 0 : wide[k - 1]!;
      return { trace, x, y: legendRow / 2 };
    });
  }
  const column = Math.max(...wide);
  const columns = Math.max(1, Math.floor(room / column));
  return traces.map((trace, k) => ({
    trace,
    x: 2 + (k % columns) * column,
    y: (Math.floor(k / columns) + 0.5) * legendRow,
  }));
}

const lines = (text: string): number => text.split('\n').length;

/** How far the words above the topmost panels reach, in px. */
function overhang(layout: FigureLayout, panels: readonly Panel[]): number {
  let most = 6;
  for (const { y } of panels) if (axisOf(layout, y).title !== undefined) most = Math.max(most, 24);
  for (const note of layout.annotations ?? []) {
    const axis = note.yref === 'paper' ? null : axisOf(layout, note.yref.replace(' domain', ''));
    const top = note.yref === 'paper' || (note.yref.endsWith(' domain') && (axis?.domain?.[1] ?? 1) === 1);
    if (!top || note.y !== 1 || note.yanchor !== 'bottom') continue;
    most = Math.max(most, (note.yshift ?? 0) + lines(note.text) * note.font.size * sizes.line + 4);
  }
  return most;
}

/** The geometry of a figure at a width in px. */
export function figureFrame(figure: Figure, width: number): Frame {
  const layout = width < narrowBelow && figure.narrow !== undefined ? figure.narrow : figure.layout;
  const panels = panelsOf(figure);
  const legend = legendOf(figure, layout, width);
  const legendHeight = legend.length === 0 ? 0 : (legend.at(-1)?.y ?? 0) + legendRow / 2 + 4;
  let [left, right, below] = [10, 12, 0];
  for (const { x, y } of panels) {
    const [xAxis, yAxis] = [axisOf(layout, x), axisOf(layout, y)];
    if ((xAxis.domain?.[0] ?? 0) === 0) {
      for (const text of yAxis.ticktext) left = Math.max(left, textWidth(text, sizes.tick) + 12);
    }
    if ((xAxis.domain?.[1] ?? 1) === 1) {
      right = Math.max(right, textWidth(xAxis.ticktext.at(-1) ?? '', sizes.tick) / 2 + 2);
    }
    left = Math.max(left, textWidth(xAxis.ticktext[0] ?? '', sizes.tick) / 2 + 2);
    if ((yAxis.domain?.[0] ?? 0) > 0) continue;
    const ticks = Math.max(0, ...xAxis.ticktext.map(lines)) * sizes.tick * sizes.line;
    const words = xTitle(xAxis, width);
    const title = words === '' ? 0 : lines(words) * sizes.title * sizes.line + 6;
    below = Math.max(below, ticks + title + 10);
  }
  return {
    width,
    height: layout.height,
    layout,
    margin: {
      left: Math.ceil(left),
      right: Math.ceil(right),
      top: Math.ceil(legendHeight + overhang(layout, panels)),
      bottom: Math.ceil(Math.max(8, below)),
    },
    legend,
    legendHeight: Math.ceil(legendHeight),
    panels,
  };
}

/** The edges of an axis's panel in px, from the low end of its range to the high end. */
export function extent(frame: Frame, id: string): readonly [number, number] {
  const axis = axisOf(frame.layout, id);
  const [from, to] = axis.domain ?? [0, 1];
  const { left, right, top, bottom } = frame.margin;
  if (id.startsWith('x')) {
    const span = frame.width - left - right;
    return [left + from * span, left + to * span];
  }
  const span = frame.height - top - bottom;
  return [top + (1 - from) * span, top + (1 - to) * span];
}

/** Where a value of an axis, or a part of a panel or of the paper, lies in px. */
export function position(frame: Frame, reference: string, letter: 'x' | 'y', value: number): number {
  if (reference === 'paper') {
    const { left, right, top, bottom } = frame.margin;
    return letter === 'x'
      ? left + value * (frame.width - left - right)
      : top + (1 - value) * (frame.height - top - bottom);
  }
  const id = reference.replace(' domain', '');
  const [start, end] = extent(frame, id);
  if (reference !== id) return start + value * (end - start);
  const [low, high] = axisOf(frame.layout, id).range;
  return start + ((value - low) / (high - low)) * (end - start);
}
