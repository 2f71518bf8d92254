import { escapePlotly } from './escape.ts';
import type { Axis, Figure, Trace } from './figure.ts';
import { axisOf, figureFrame, sizes, xTitle } from './figure-frame.ts';
import { fontFamily, narrowWidth, wideWidth } from './figure-svg.ts';
import { colour } from './palette.ts';

/** A figure as plotly.js takes it: plain JSON, every text switched to plain text, no control of its own. */
export interface PlotlyFigure {
  readonly data: readonly Readonly<Record<string, unknown>>[];
  readonly layout: Readonly<Record<string, unknown>>;
  readonly config: Readonly<Record<string, unknown>>;
}

function plotlyTrace(trace: Trace): Record<string, unknown> {
  const { hovertext, name, ...rest } = trace;
  return {
    ...rest,
    name: escapePlotly(name),
    ...(hovertext === undefined
      ? { hoverinfo: 'skip' }
      : { hovertext: hovertext.map(escapePlotly), hoverinfo: 'text' }),
    ...(trace.marker === undefined
      ? {}
      : {
          marker: {
            ...trace.marker,
            line: { width: trace.marker.symbol.endsWith('-open') ? 1.5 : 0, color: trace.marker.color },
          },
        }),
  };
}

function plotlyAxis(axis: Axis, letter: 'x' | 'y', width: number): Record<string, unknown> {
  const { title, ...rest } = axis;
  return {
    ...rest,
    type: 'linear',
    ticktext: axis.ticktext.map(escapePlotly),
    tickmode: 'array',
    tickangle: 0,
    ticks: '',
    ...(letter === 'y' ? { ticklabelstandoff: 6 } : {}),
    tickfont: { size: sizes.tick, color: colour.soft },
    gridcolor: colour.rule,
    zeroline: axis.zeroline ?? false,
    zerolinecolor: colour.zoneEdge,
    zerolinewidth: 1,
    fixedrange: true,
    automargin: false,
    // The y title stands level above its axis, so it is drawn as a note.
    ...(letter === 'x' && title !== undefined
      ? {
          title: {
            text: escapePlotly(xTitle(axis, width)),
            font: { size: sizes.title, color: colour.soft },
            standoff: 6,
          },
        }
      : {}),
  };
}

/**
 * The figure for plotly.js at a width in px (default 700; below 480 its narrow layout).
 * @example figureToPlotly(figure).config.displayModeBar // false
 */
export function figureToPlotly(figure: Figure, width = wideWidth): PlotlyFigure {
  const frame = figureFrame(figure, width);
  const { layout, margin } = frame;
  const axes: Record<string, unknown> = {};
  const titles: Record<string, unknown>[] = [];
  for (const key of Object.keys(layout)) {
    if (!/^[xy]axis\d*$/.test(key)) continue;
    const letter = key.startsWith('x') ? 'x' : 'y';
    const axis = axisOf(layout, letter + key.slice(5));
    axes[key] = plotlyAxis(axis, letter, width);
    if (letter === 'x' || axis.title === undefined) continue;
    const own = `x${key.slice(5)}` as 'x';
    const first = (axisOf(layout, own).domain?.[0] ?? 0) === 0;
    titles.push({
      text: escapePlotly(axis.title.text),
      xref: `${own} domain`,
      yref: `y${key.slice(5)} domain`,
      x: 0,
      y: 1,
      xanchor: 'left',
      yanchor: 'bottom',
      xshift: first ? 2 - margin.left : 0,
      yshift: 4,
      showarrow: false,
      font: { size: sizes.title, color: colour.soft },
    });
  }
  return {
    data: figure.data.map(plotlyTrace),
    layout: {
      ...axes,
      height: layout.height,
      margin: { l: margin.left, r: margin.right, t: margin.top, b: margin.bottom, pad: 0 },
      shapes: (layout.shapes ?? []).map((shape) => ({
        ...shape,
        line: shape.line ?? { width: 0 },
      })),
      annotations: [
        ...titles,
        ...(layout.annotations ?? []).map((note) => ({
          ...note,
          text: escapePlotly(note.text),
          align: note.xanchor,
          borderpad: 0,
        })),
      ],
      showlegend: frame.legend.length > 0,
      legend: {
        orientation: 'h',
        x: 0,
        xref: 'container',
        xanchor: 'left',
        y: 1,
        yref: 'container',
        yanchor: 'top',
        font: { size: sizes.legend, color: colour.ink },
        bgcolor: 'rgba(0,0,0,0)',
        itemwidth: 36,
        tracegroupgap: 0,
      },
      font: { family: fontFamily, color: colour.ink, size: sizes.tick },
      paper_bgcolor: 'rgba(0,0,0,0)',
      plot_bgcolor: 'rgba(0,0,0,0)',
      hovermode: 'closest',
      hoverdistance: 24,
      hoverlabel: {
        bgcolor: colour.raised,
        bordercolor: colour.zoneEdge,
        font: { family: fontFamily, size: 13, color: colour.ink },
        align: 'left',
        namelength: -1,
      },
      dragmode: false,
    },
    config: {
      displayModeBar: false,
      responsive: false,
      doubleClick: false,
      scrollZoom: false,
      showTips: false,
    },
  };
}

/** The figure less its legend, which a page shows above it. */
function withoutLegend(figure: Figure, width: number): PlotlyFigure {
  const { legendHeight, height, margin } = figureFrame(figure, width);
  const { data, layout, config } = figureToPlotly(figure, width);
  return {
    data,
    config,
    layout: {
      ...layout,
      showlegend: false,
      height: height - legendHeight,
      margin: { ...(layout.margin as object), t: margin.top - legendHeight },
    },
  };
}

/** Both forms of a figure for the script of a page. The traces, alike in both, are given once. */
export function figurePayload(figure: Figure): {
  readonly id: string;
  readonly data: PlotlyFigure['data'];
  readonly config: PlotlyFigure['config'];
  readonly wide: PlotlyFigure['layout'];
  readonly narrow: PlotlyFigure['layout'];
} {
  const wide = withoutLegend(figure, wideWidth);
  return {
    id: figure.id,
    data: wide.data,
    config: wide.config,
    wide: wide.layout,
    narrow: withoutLegend(figure, narrowWidth).layout,
  };
}
