/**
 * A figure as typed data: the subset of plotly.js JSON that we draw, plus words. One object becomes the
 * interactive figure, the static SVG and the data table beneath it.
 */

export interface Marker {
  readonly color?: string;
  readonly size?: number;
  readonly symbol?: 'circle' | 'square' | 'diamond' | 'triangle-up' | 'circle-open';
  readonly line?: { readonly color: string; readonly width: number };
}

export interface ErrorBar {
  readonly type: 'data';
  readonly symmetric: false;
  readonly array: readonly number[];
  readonly arrayminus: readonly number[];
  readonly color?: string;
  readonly thickness?: number;
  readonly width?: number;
}

export interface Trace {
  readonly type: 'scatter' | 'bar';
  readonly mode?: 'lines' | 'markers' | 'lines+markers' | 'text' | 'markers+text';
  readonly name: string;
  readonly x: readonly (number | string | null)[];
  readonly y: readonly (number | string | null)[];
  readonly text?: readonly string[];
  readonly textposition?: string;
  readonly hovertemplate?: string;
  readonly marker?: Marker;
  readonly line?: {
    readonly color?: string;
    readonly width?: number;
    readonly dash?: 'solid' | 'dot' | 'dash';
  };
  readonly error_x?: ErrorBar;
  readonly error_y?: ErrorBar;
  readonly fill?: 'none' | 'toself' | 'tonexty';
  readonly fillcolor?: string;
  readonly showlegend?: boolean;
  readonly legendgroup?: string;
  readonly xaxis?: string;
  readonly yaxis?: string;
  readonly opacity?: number;
}

export interface Axis {
  readonly title?: { readonly text: string };
  readonly range?: readonly [number, number];
  readonly tickvals?: readonly (number | string)[];
  readonly ticktext?: readonly string[];
  readonly type?: 'linear' | 'category';
  readonly zeroline?: boolean;
  readonly showgrid?: boolean;
  readonly showticklabels?: boolean;
  readonly autorange?: boolean | 'reversed';
  readonly domain?: readonly [number, number];
  readonly anchor?: string;
}

export interface Shape {
  readonly type: 'rect' | 'line';
  readonly x0: number | string;
  readonly x1: number | string;
  readonly y0: number | string;
  readonly y1: number | string;
  readonly xref: string;
  readonly yref: string;
  readonly fillcolor?: string;
  readonly opacity?: number;
  readonly layer?: 'below' | 'above';
  readonly line?: {
    readonly color?: string;
    readonly width: number;
    readonly dash?: 'solid' | 'dot' | 'dash';
  };
}

export interface Annotation {
  readonly text: string;
  readonly x: number | string;
  readonly y: number | string;
  readonly xref: string;
  readonly yref: string;
  readonly showarrow: false;
  readonly xanchor?: 'left' | 'center' | 'right';
  readonly yanchor?: 'top' | 'middle' | 'bottom';
  readonly font?: { readonly size?: number; readonly color?: string };
}

export interface FigureTable {
  readonly columns: readonly { readonly key: string; readonly label: string; readonly unit?: string }[];
  readonly rows: readonly Readonly<Record<string, string | number | null>>[];
}

export interface Figure {
  /** Unique within a page; letters, digits and hyphens. */
  readonly id: string;
  readonly title: string;
  /** One or two sentences under the figure: what it shows and how to read it. */
  readonly caption: string;
  /** The text alternative, made from the numbers. */
  readonly description: string;
  readonly data: readonly Trace[];
  readonly layout: {
    readonly xaxis: Axis;
    readonly yaxis: Axis;
    readonly shapes?: readonly Shape[];
    readonly annotations?: readonly Annotation[];
    readonly height: number;
    readonly showlegend?: boolean;
    readonly [extraAxis: `xaxis${number}` | `yaxis${number}`]: Axis;
  };
  readonly table: FigureTable;
}
