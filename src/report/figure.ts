/**
 * A figure as typed data: the subset of plotly.js JSON that we draw, plus words. One object becomes the
 * interactive figure, the static SVG and the data table beneath it.
 *
 * Every text in it is plain text: markup is shown as it stands, `\n` starts a new line. Every axis has a
 * range and its own ticks (`linearAxis` makes both), so that both drawings show the same thing.
 */

export type PointSymbol = 'circle' | 'square' | 'diamond' | 'triangle-up' | 'circle-open' | 'square-open';
/** How a line is drawn. */
export type Dash = 'solid' | 'dot' | 'dash';

/** How a point is drawn. */
export interface Marker {
  readonly color: string;
  /** Diameter in px. */
  readonly size: number;
  readonly symbol: PointSymbol;
}

/** Lengths of the bars upwards (`array`) and downwards (`arrayminus`) from the point; 0 draws none. */
export interface ErrorBar {
  readonly type: 'data';
  readonly symmetric: false;
  readonly array: readonly number[];
  readonly arrayminus: readonly number[];
  readonly color: string;
  /** Width of the line in px. */
  readonly thickness: number;
  /** Half length of the end caps in px; 0 for none. */
  readonly width: number;
}

/** One series of a figure: lines, points or both. */
export interface Trace {
  readonly type: 'scatter';
  readonly mode: 'lines' | 'markers' | 'lines+markers';
  readonly name: string;
  /** `null` breaks the line. */
  readonly x: readonly (number | null)[];
  readonly y: readonly (number | null)[];
  /** What the tooltip says at each point; without it, the point has no tooltip. */
  readonly hovertext?: readonly string[];
  readonly marker?: Marker;
  readonly line?: { readonly color: string; readonly width: number; readonly dash?: Dash };
  readonly error_x?: ErrorBar;
  readonly error_y?: ErrorBar;
  readonly showlegend?: boolean;
  /** Traces of one group are switched on and off together. */
  readonly legendgroup?: string;
  /** `x2` and `y2` draw on `xaxis2` and `yaxis2`; default `x` and `y`. */
  readonly xaxis?: AxisId<'x'>;
  readonly yaxis?: AxisId<'y'>;
  readonly opacity?: number;
}

/** The short name of an axis: `x`, `x2`, and so on. */
export type AxisId<Letter extends 'x' | 'y'> = Letter | `${Letter}${number}`;

/** An axis of a figure, with every tick given. */
export interface Axis {
  /** For a y axis the title stands level above the axis, not turned. */
  readonly title?: { readonly text: string };
  /** From left to right, or from bottom to top: [10, 0] runs backwards. */
  readonly range: readonly [number, number];
  readonly tickvals: readonly number[];
  readonly ticktext: readonly string[];
  readonly zeroline?: boolean;
  readonly showgrid?: boolean;
  /** Part of the drawing's width (from the left) or height (from the bottom), 0 to 1; default all. */
  readonly domain?: readonly [number, number];
  /** The axis it stands on; default the other axis of the same number. */
  readonly anchor?: AxisId<'x'> | AxisId<'y'>;
}

/** `paper` runs 0 to 1 over all panels; `x2` is in the axis's values; `x2 domain` runs 0 to 1 over its panel. */
export type Reference<Letter extends 'x' | 'y'> = 'paper' | AxisId<Letter> | `${AxisId<Letter>} domain`;

/** A band or a line across a figure. */
export interface Shape {
  readonly type: 'rect' | 'line';
  readonly x0: number;
  readonly x1: number;
  readonly y0: number;
  readonly y1: number;
  readonly xref: Reference<'x'>;
  readonly yref: Reference<'y'>;
  readonly fillcolor?: string;
  readonly layer: 'below' | 'above';
  readonly line?: { readonly color: string; readonly width: number; readonly dash?: Dash };
}

/** Words at a place in a figure. */
export interface Annotation {
  readonly text: string;
  readonly x: number;
  readonly y: number;
  readonly xref: Reference<'x'>;
  readonly yref: Reference<'y'>;
  readonly showarrow: false;
  readonly xanchor: 'left' | 'center' | 'right';
  readonly yanchor: 'top' | 'middle' | 'bottom';
  /** Moved by so many px to the right, and up. */
  readonly xshift?: number;
  readonly yshift?: number;
  readonly font: { readonly size: number; readonly color: string; readonly weight?: 400 | 600 };
}

/** The numbers of a figure as a table. */
export interface FigureTable {
  readonly columns: readonly { readonly key: string; readonly label: string; readonly unit?: string }[];
  readonly rows: readonly Readonly<Record<string, string | number | null>>[];
}

/** Axes, shapes and words of a figure. */
export interface FigureLayout {
  readonly xaxis: Axis;
  readonly yaxis: Axis;
  readonly shapes?: readonly Shape[];
  readonly annotations?: readonly Annotation[];
  /** Of the whole drawing, legend and axis titles included, in px. */
  readonly height: number;
  readonly showlegend?: boolean;
  readonly [extraAxis: `xaxis${number}` | `yaxis${number}`]: Axis;
}

/** A figure as typed data, from which both the drawing and the interactive picture are made. */
export interface Figure {
  /** Unique within a page; letters, digits and hyphens, beginning with a letter. */
  readonly id: string;
  readonly title: string;
  /** One or two sentences under the figure: what it shows and how to read it. */
  readonly caption: string;
  /** The text alternative, made from the numbers. */
  readonly description: string;
  readonly data: readonly Trace[];
  readonly layout: FigureLayout;
  /** The same for a narrow screen (under 480 px), where it differs. */
  readonly narrow?: FigureLayout;
  readonly table: FigureTable;
}
