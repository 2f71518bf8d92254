import { escapeMarkup, isolated } from './escape.ts';
import type { Dash, ErrorBar, Marker, PointSymbol, Trace } from './figure.ts';
import { paint } from './palette.ts';

/** The pieces of a static drawing: points, lines and bars, as SVG text. */

/** A coordinate with at most two decimals. */
export const px = (value: number): string => String(Number(value.toFixed(2)));

const dashes: Readonly<Record<Dash, string>> = { solid: '', dot: '1.5 3', dash: '6 4' };

export function stroke(line: {
  readonly color: string;
  readonly width: number;
  readonly dash?: Dash;
}): string {
  const pattern = dashes[line.dash ?? 'solid'];
  return (
    `${paint({ stroke: line.color })} stroke-width="${line.width}"` +
    (pattern === '' ? '' : ` stroke-dasharray="${pattern}"`)
  );
}

function outline(symbol: PointSymbol, x: number, y: number, r: number): string {
  if (symbol === 'square' || symbol === 'square-open') {
    const half = r * 0.9;
    return `M${px(x - half)} ${px(y - half)}h${px(2 * half)}v${px(2 * half)}h${px(-2 * half)}Z`;
  }
  if (symbol === 'diamond') {
    const half = r * 1.25;
    return `M${px(x)} ${px(y - half)}L${px(x + half)} ${px(y)}L${px(x)} ${px(y + half)}L${px(x - half)} ${px(y)}Z`;
  }
  if (symbol === 'triangle-up') {
    const [up, half, down] = [r * 1.2, r * 1.1, r * 0.8];
    return `M${px(x)} ${px(y - up)}L${px(x + half)} ${px(y + down)}L${px(x - half)} ${px(y + down)}Z`;
  }
  return `M${px(x - r)} ${px(y)}a${px(r)} ${px(r)} 0 1 0 ${px(2 * r)} 0a${px(r)} ${px(r)} 0 1 0 ${px(-2 * r)} 0Z`;
}

/** One point; `words` become its tooltip. */
export function symbolMark(marker: Marker, x: number, y: number, words?: string): string {
  const open = marker.symbol.endsWith('-open');
  // An open symbol lets through what it encircles, and still answers to the mouse within.
  const hue = open
    ? `fill="none" pointer-events="all" ${paint({ stroke: marker.color })}`
    : paint({ fill: marker.color });
  const inside = words === undefined ? '' : `<title>${escapeMarkup(words)}</title>`;
  const path = outline(marker.symbol, x, y, marker.size / 2);
  return `<path class="point" d="${path}" ${hue}${open ? ' stroke-width="1.5"' : ''}>${inside}</path>`;
}

/** A line through the points, broken where one is missing. */
export function lineMark(trace: Trace, points: readonly (readonly [number, number] | null)[]): string {
  if (trace.line === undefined) return '';
  let path = '';
  let pen = 'M';
  for (const point of points) {
    if (point === null) {
      pen = 'M';
      continue;
    }
    path += `${pen}${px(point[0])} ${px(point[1])}`;
    pen = 'L';
  }
  return path === '' ? '' : `<path class="line" d="${path}" fill="none" ${stroke(trace.line)}/>`;
}

/** The bar through one point along one axis, from `from` to `to` px, with end caps. */
export function barMark(
  bar: ErrorBar,
  along: 'x' | 'y',
  from: number,
  to: number,
  across: number,
  index: number,
): string {
  if ((bar.array[index] ?? 0) === 0 && (bar.arrayminus[index] ?? 0) === 0) return '';
  const cap = bar.width;
  const d =
    along === 'x'
      ? `M${px(from)} ${px(across)}H${px(to)}` +
        (cap > 0
          ? `M${px(from)} ${px(across - cap)}v${px(2 * cap)}M${px(to)} ${px(across - cap)}v${px(2 * cap)}`
          : '')
      : `M${px(across)} ${px(from)}V${px(to)}` +
        (cap > 0
          ? `M${px(across - cap)} ${px(from)}h${px(2 * cap)}M${px(across - cap)} ${px(to)}h${px(2 * cap)}`
          : '');
  return `<path class="bar" d="${d}" fill="none" ${stroke({ color: bar.color, width: bar.thickness })}/>`;
}

/** What a trace looks like, 28 px wide, from its left end at the middle of its height. */
export function legendSample(trace: Trace, x: number, y: number): string {
  const bar = trace.error_x ?? trace.error_y;
  const line =
    trace.mode !== 'markers' && trace.line !== undefined
      ? trace.line
      : bar === undefined
        ? undefined
        : { color: bar.color, width: bar.thickness };
  const across = line === undefined ? '' : `<path d="M${px(x)} ${px(y)}h28" ${stroke(line)}/>`;
  if (trace.mode === 'lines' || trace.marker === undefined) return across;
  return across + symbolMark({ ...trace.marker, size: Math.min(9, trace.marker.size) }, x + 14, y);
}

export interface TextOptions {
  readonly size: number;
  readonly color: string;
  readonly anchor: 'start' | 'middle' | 'end';
  readonly weight?: number;
}

/** Lines of text, the first with its baseline at `y`; direction-neutral so that no label turns its neighbour. */
export function textMark(text: string, x: number, y: number, options: TextOptions): string {
  const { size, color, anchor, weight } = options;
  const lines = text.split('\n').map((line) => isolated(escapeMarkup(line)));
  const body =
    lines.length === 1
      ? lines[0]
      : lines
          .map((line, k) => `<tspan x="${px(x)}" dy="${k === 0 ? 0 : px(size * 1.3)}">${line}</tspan>`)
          .join('');
  const heavy = weight === undefined || weight === 400 ? '' : ` font-weight="${weight}"`;
  return `<text x="${px(x)}" y="${px(y)}" font-size="${size}" text-anchor="${anchor}"${heavy} ${paint({ fill: color })}>${body}</text>`;
}
