import { axisOf, extent, type Frame, type Panel, position, sizes, xTitle } from './figure-frame.ts';
import { colour } from './palette.ts';
import { px, stroke, textMark } from './svg-marks.ts';
import { textWidth } from './text-width.ts';

/** The labels of an x axis that have room: a label that would touch the one before it is left out. */
function xLabels(frame: Frame, id: string, y: number): string {
  const { tickvals, ticktext } = axisOf(frame.layout, id);
  let free = Number.NEGATIVE_INFINITY;
  let svg = '';
  for (const [k, value] of tickvals.entries()) {
    const text = ticktext[k] ?? '';
    const at = position(frame, id, 'x', value);
    const half = textWidth(text, sizes.tick) / 2;
    if (text === '' || at - half < free) continue;
    free = at + half + 4;
    svg += textMark(text, at, y + sizes.tick + 5, { size: sizes.tick, color: colour.soft, anchor: 'middle' });
  }
  return svg;
}

/** Grid, zero lines, labels and titles of one panel. */
export function axesSvg(frame: Frame, panel: Panel): string {
  const [x, y] = [axisOf(frame.layout, panel.x), axisOf(frame.layout, panel.y)];
  const [left, right] = extent(frame, panel.x);
  const [bottom, top] = extent(frame, panel.y);
  const grid = stroke({ color: colour.rule, width: 1 });
  const zero = stroke({ color: colour.zoneEdge, width: 1 });
  let svg = '';
  const vertical = (value: number, style: string): string => {
    const at = px(position(frame, panel.x, 'x', value));
    return `<path class="grid" d="M${at} ${px(top)}V${px(bottom)}" ${style}/>`;
  };
  const level = (value: number, style: string): string => {
    const at = px(position(frame, panel.y, 'y', value));
    return `<path class="grid" d="M${px(left)} ${at}H${px(right)}" ${style}/>`;
  };
  if (x.showgrid !== false) for (const value of x.tickvals) svg += vertical(value, grid);
  if (y.showgrid !== false) for (const value of y.tickvals) svg += level(value, grid);
  if (x.zeroline === true) svg += vertical(0, zero);
  if (y.zeroline === true) svg += level(0, zero);
  svg += xLabels(frame, panel.x, bottom);
  for (const [k, value] of y.tickvals.entries()) {
    const at = position(frame, panel.y, 'y', value) + sizes.tick * 0.35;
    svg += textMark(y.ticktext[k] ?? '', left - 8, at, {
      size: sizes.tick,
      color: colour.soft,
      anchor: 'end',
    });
  }
  const title = { size: sizes.title, color: colour.soft };
  if (x.title !== undefined) {
    const under =
      bottom + Math.max(0, ...x.ticktext.map((t) => t.split('\n').length)) * sizes.tick * 1.3 + 22;
    svg += textMark(xTitle(x, frame.width), (left + right) / 2, under, { ...title, anchor: 'middle' });
  }
  if (y.title !== undefined) {
    const from = (axisOf(frame.layout, panel.x).domain?.[0] ?? 0) === 0 ? 2 : left;
    svg += textMark(y.title.text, from, top - 10, { ...title, anchor: 'start' });
  }
  return svg;
}
