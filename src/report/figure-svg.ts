import { escapeMarkup } from './escape.ts';
import type { Annotation, Figure, Shape, Trace } from './figure.ts';
import { extent, type Frame, figureFrame, legendMark, position, sizes } from './figure-frame.ts';
import { colour, paint, paletteCss } from './palette.ts';
import { axesSvg } from './svg-axes.ts';
import { barMark, legendSample, lineMark, px, stroke, symbolMark, textMark } from './svg-marks.ts';

export const fontFamily =
  "system-ui,-apple-system,'Segoe UI',Roboto,'Helvetica Neue','Noto Sans','Liberation Sans',Arial,sans-serif";

/** Width in px of the figure's wide form: what a page's column holds. */
export const wideWidth = 700;
/** Width in px of its form for a phone. */
export const narrowWidth = 328;

/** How large a drawing is, and whether it is to stand alone. */
export interface FigureSvgOptions {
  /** In px; below 480 the figure's narrow layout is used. Default 700. */
  readonly width?: number;
  /** With its own colours and background, to stand as a file; default true. */
  readonly standalone?: boolean;
}

/** The part of a stretch from `a` to `b` px that lies within an axis's panel; null where none does. */
function within(frame: Frame, reference: string, a: number, b: number): readonly [number, number] | null {
  if (reference === 'paper' || reference.endsWith(' domain')) return [a, b];
  const ends = extent(frame, reference);
  const [low, high] = [Math.min(...ends), Math.max(...ends)];
  if (Math.max(a, b) < low - 0.5 || Math.min(a, b) > high + 0.5) return null;
  const held = (value: number): number => Math.min(high, Math.max(low, value));
  return [held(a), held(b)];
}

/** A shape, cut at the edges of its panel; a slanting line is drawn as it is. */
function shapeSvg(frame: Frame, shape: Shape): string {
  let [x0, x1] = [shape.x0, shape.x1].map((v) => position(frame, shape.xref, 'x', v)) as [number, number];
  let [y0, y1] = [shape.y0, shape.y1].map((v) => position(frame, shape.yref, 'y', v)) as [number, number];
  if (shape.type === 'rect' || x0 === x1 || y0 === y1) {
    const [across, up] = [within(frame, shape.xref, x0, x1), within(frame, shape.yref, y0, y1)];
    if (across === null || up === null) return '';
    [x0, x1] = across;
    [y0, y1] = up;
  }
  const line = shape.line === undefined ? '' : stroke(shape.line);
  if (shape.type === 'line')
    return `<path class="rule" d="M${px(x0)} ${px(y0)}L${px(x1)} ${px(y1)}" ${line}/>`;
  const fill = shape.fillcolor === undefined ? 'fill="none"' : paint({ fill: shape.fillcolor });
  return `<rect class="zone" x="${px(Math.min(x0, x1))}" y="${px(Math.min(y0, y1))}" width="${px(Math.abs(x1 - x0))}" height="${px(Math.abs(y1 - y0))}" ${fill}/>`;
}

function annotationSvg(frame: Frame, note: Annotation): string {
  const x = position(frame, note.xref, 'x', note.x) + (note.xshift ?? 0);
  const y = position(frame, note.yref, 'y', note.y) - (note.yshift ?? 0);
  const { size, color, weight } = note.font;
  const rest = (note.text.split('\n').length - 1) * size * 1.3;
  const baseline = { top: size * 0.95, middle: size * 0.36 - rest / 2, bottom: -size * 0.28 - rest }[
    note.yanchor
  ];
  const anchor = ({ left: 'start', center: 'middle', right: 'end' } as const)[note.xanchor];
  return textMark(note.text, x, y + baseline, {
    size,
    color,
    anchor,
    ...(weight === undefined ? {} : { weight }),
  });
}

function traceSvg(frame: Frame, trace: Trace, index: number): string {
  const [xId, yId] = [trace.xaxis ?? 'x', trace.yaxis ?? 'y'];
  const at = trace.x.map((x, k): readonly [number, number] | null => {
    const y = trace.y[k] ?? null;
    return x === null || y === null ? null : [position(frame, xId, 'x', x), position(frame, yId, 'y', y)];
  });
  let svg = trace.mode === 'markers' ? '' : lineMark(trace, at);
  for (const [k, point] of at.entries()) {
    if (point === null) continue;
    for (const along of ['x', 'y'] as const) {
      const bar = along === 'x' ? trace.error_x : trace.error_y;
      const value = trace[along][k];
      if (bar === undefined || value === null || value === undefined) continue;
      const id = along === 'x' ? xId : yId;
      const from = position(frame, id, along, value - (bar.arrayminus[k] ?? 0));
      const to = position(frame, id, along, value + (bar.array[k] ?? 0));
      svg += barMark(bar, along, from, to, along === 'x' ? point[1] : point[0], k);
    }
  }
  for (const [k, point] of at.entries()) {
    if (point === null || trace.marker === undefined || trace.mode === 'lines') continue;
    svg += symbolMark(trace.marker, point[0], point[1], trace.hovertext?.[k]);
  }
  const faint = trace.opacity === undefined ? '' : ` opacity="${trace.opacity}"`;
  return `<g class="trace" data-trace="${index}"${faint}>${svg}</g>`;
}

function legendSvg(frame: Frame): string {
  return frame.legend
    .map(
      ({ trace, x, y }) =>
        legendSample(trace, x, y) +
        textMark(trace.name, x + legendMark, y + 4.5, {
          size: sizes.legend,
          color: colour.ink,
          anchor: 'start',
        }),
    )
    .join('');
}

/**
 * A figure as a static SVG: the same numbers, places, words and colours as the interactive one. The text
 * alternative is its `<desc>`. The same figure gives the same bytes.
 *
 * Throws an Error where the figure uses an axis that its layout lacks, or its id is not fit for markup.
 * @example figureSvg(figure).startsWith('<svg') // true
 */
export function figureSvg(figure: Figure, options: FigureSvgOptions = {}): string {
  const { width = wideWidth, standalone = true } = options;
  if (!/^[A-Za-z][A-Za-z0-9-]*$/.test(figure.id)) {
    throw new Error(`figureSvg: the id '${figure.id.slice(0, 40)}' must be letters, digits and hyphens`);
  }
  const frame = figureFrame(figure, width);
  const id = `${figure.id}-${width}`;
  const shapes = frame.layout.shapes ?? [];
  const drawShapes = (layer: Shape['layer']): string =>
    shapes
      .filter((shape) => shape.layer === layer)
      .map((shape) => shapeSvg(frame, shape))
      .join('');
  const clips = frame.panels.map(({ x, y }) => {
    const [[left, right], [bottom, top]] = [extent(frame, x), extent(frame, y)];
    return `<clipPath id="${id}-${x}-${y}"><rect x="${px(left - 6)}" y="${px(top - 6)}" width="${px(right - left + 12)}" height="${px(bottom - top + 12)}"/></clipPath>`;
  });
  const traces = frame.panels.map(({ x, y }) => {
    const own = figure.data
      .map((trace, k) =>
        (trace.xaxis ?? 'x') === x && (trace.yaxis ?? 'y') === y ? traceSvg(frame, trace, k) : '',
      )
      .join('');
    return `<g clip-path="url(#${id}-${x}-${y})">${own}</g>`;
  });
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" id="${id}" viewBox="0 0 ${width} ${frame.height}" width="${width}" height="${frame.height}" role="img" aria-labelledby="${id}-title ${id}-desc" font-family="${fontFamily}">`,
    `<title id="${id}-title">${escapeMarkup(figure.title)}</title>`,
    `<desc id="${id}-desc">${escapeMarkup(figure.description)}</desc>`,
    standalone ? `<style>${paletteCss(':root').replaceAll('\n', ' ')}</style>` : '',
    `<defs>${clips.join('')}</defs>`,
    standalone ? `<rect width="${width}" height="${frame.height}" ${paint({ fill: colour.paper })}/>` : '',
    drawShapes('below'),
    frame.panels.map((panel) => axesSvg(frame, panel)).join(''),
    drawShapes('above'),
    ...traces,
    (frame.layout.annotations ?? []).map((note) => annotationSvg(frame, note)).join(''),
    legendSvg(frame),
    '</svg>',
  ]
    .filter((part) => part !== '')
    .join('\n');
}
