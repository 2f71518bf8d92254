import type { CalibrationTables, Finding, JudgedRow } from '../../studies/index.ts';
import { shortLabel } from '../escape.ts';
import type { Annotation, Figure, FigureLayout, Marker, Shape, Trace } from '../figure.ts';
import { formatNumber } from '../numbers.ts';
import { colour } from '../palette.ts';
import { textWidth } from '../text-width.ts';
import { calibrationTable } from './tables.ts';

type Kind = 'inside' | 'outside' | 'open' | 'not-claimed';

const LOOKS: Readonly<Record<Kind, { readonly name: string; readonly marker: Marker }>> = {
  inside: { name: 'as it says', marker: { color: colour.drill, size: 8, symbol: 'circle' } },
  outside: {
    name: 'off by more than matters',
    marker: { color: colour.control, size: 9, symbol: 'diamond' },
  },
  open: { name: 'at an edge of the band', marker: { color: colour.third, size: 8, symbol: 'square' } },
  'not-claimed': {
    name: 'no claim is made',
    marker: { color: colour.soft, size: 8, symbol: 'circle-open' },
  },
};

/** Lowest coverage that is drawn, per cent; what is lower stands at the edge and is in the table. */
const LOWEST = 80;
const ROW_PX = 25;
const NARROW_ROW_PX = 54;
/** The part of the width, from the left, that names have where they stand beside the drawing; and what of it they may fill. */
const NAMES = 0.56;
const NAMES_PX = 366;
const NAME_SIZE = 12;
/** All rows together, wide: what a printed page can hold with title and caption. */
const MOST_PX = 680;

/**
 * The coverage of every kind of interval of each study, with Monte Carlo error, against the band: one figure for each study that
 * has intervals.
 *
 * @example coverageFigures({ ...finding, tables: { ...finding.tables, rows: [], band: { low: 0.93, high: 0.97 } } }) // []
 */
export function coverageFigures(finding: Finding<CalibrationTables>): Figure[] {
  const { rows } = finding.tables;
  return [...new Set(rows.map(({ study }) => study))].flatMap((study) => {
    const own = rows.filter((row) => row.study === study && row.covered !== null);
    return own.length === 0 ? [] : [coverageFigure(study, own, finding)];
  });
}

function coverageFigure(
  study: string,
  rows: readonly JudgedRow[],
  { tables }: Finding<CalibrationTables>,
): Figure {
  const { band } = tables;
  const axis = (narrow: boolean) => ({
    title: { text: 'Intervals that hold the truth, %' },
    range: [LOWEST - 0.8, 100.8] as const,
    tickvals: narrow ? [80, 90, 95, 100] : [80, 85, 90, 95, 100],
    ticktext: narrow ? ['80', '90', '95', '100'] : ['80', '85', '90', '95', '100'],
    showgrid: true,
  });
  const shapes: Shape[] = [
    {
      type: 'rect',
      x0: 100 * band.low,
      x1: 100 * band.high,
      y0: 0,
      y1: 1,
      xref: 'x',
      yref: 'paper',
      fillcolor: colour.zone,
      layer: 'below',
    },
    {
      type: 'line',
      x0: 100 * band.nominal,
      x1: 100 * band.nominal,
      y0: 0,
      y1: 1,
      xref: 'x',
      yref: 'paper',
      layer: 'below',
      line: { color: colour.zoneEdge, width: 1.5, dash: 'dash' },
    },
  ];
  const alike = rows.every(({ quantity }) => quantity === rows[0]!.quantity) ? rows[0]!.quantity : null;
  const layout = (narrow: boolean): FigureLayout => ({
    xaxis: { ...axis(narrow), ...(narrow ? {} : { domain: [NAMES, 1] as const }) },
    yaxis: { range: [rows.length - 0.4, narrow ? -0.9 : -0.6], tickvals: [], ticktext: [], showgrid: false },
    shapes,
    annotations: rows.map((row, i) => labelOf(row, i, narrow, alike !== null)),
    height: Math.round(
      (narrow ? rows.length * NARROW_ROW_PX : Math.min(MOST_PX, rows.length * ROW_PX)) + 120,
    ),
    showlegend: true,
  });
  return {
    id: `coverage-${study}`,
    title: `How often the intervals of ${study} hold the truth`,
    caption: `${alike === null ? '' : `Of each kind of cohort: ${alike}. `}Each point is the share of the 95% intervals that hold what was planted; its bar is Monte Carlo error. The band is ${percent(band.low)} to ${percent(band.high)}. A point at the left edge lies below ${LOWEST}%.`,
    description: `${rows.map((row) => `${row.case}, ${row.quantity}: ${sayShare(row)}`).join('; ')}.`,
    data: (Object.keys(LOOKS) as Kind[]).flatMap((kind) => traceOf(kind, rows)),
    layout: layout(false),
    narrow: layout(true),
    table: calibrationTable(rows),
  };
}

function traceOf(kind: Kind, rows: readonly JudgedRow[]): Trace[] {
  const own = [...rows.entries()].filter(([, row]) => kindOf(row) === kind);
  if (own.length === 0) return [];
  const { name, marker } = LOOKS[kind];
  const at = own.map(([, { covered }]) => Math.max(LOWEST, 100 * covered!));
  return [
    {
      type: 'scatter',
      mode: 'markers',
      name,
      x: at,
      y: own.map(([i]) => i),
      hovertext: own.map(([, row]) => `${row.case}\n${row.quantity}: ${sayShare(row)}`),
      marker,
      error_x: {
        type: 'data',
        symmetric: false,
        array: own.map(([, { coveredInterval }], k) => Math.max(0, 100 * coveredInterval![1] - at[k]!)),
        arrayminus: own.map(([, { coveredInterval }], k) =>
          Math.max(0, at[k]! - Math.max(LOWEST, 100 * coveredInterval![0])),
        ),
        color: marker.color,
        thickness: 1.5,
        width: 0,
      },
      showlegend: true,
    },
  ];
}

function kindOf({ standing }: JudgedRow): Kind {
  if (standing === 'too-low' || standing === 'too-high') return 'outside';
  if (standing === 'cannot-tell' || standing === 'no-interval') return 'open';
  return standing;
}

/** Beside the drawing, as long as there is room; over its row on a narrow screen. What all rows share is left to the caption. */
function labelOf(row: JudgedRow, i: number, narrow: boolean, alike: boolean): Annotation {
  const wide = alike ? row.case : `${row.case}: ${row.quantity}`;
  const stacked = `${shortLabel(row.case, 40)}${alike ? '' : `:\n${shortLabel(row.quantity, 40)}`}`;
  return {
    text: narrow ? stacked : fitted(wide),
    x: 0,
    y: i,
    xref: 'paper',
    yref: 'y',
    showarrow: false,
    xanchor: 'left',
    yanchor: narrow ? 'bottom' : 'middle',
    ...(narrow ? { yshift: 9 } : {}),
    font: { size: NAME_SIZE, color: colour.ink },
  };
}

function fitted(words: string): string {
  let longest = words.length;
  while (textWidth(shortLabel(words, longest), NAME_SIZE) > NAMES_PX) longest -= 1;
  return shortLabel(words, longest);
}

function sayShare({ covered, coveredInterval }: JudgedRow): string {
  const [low, high] = coveredInterval!;
  return `${percent(covered!)} (${percent(low)} to ${percent(high)})`;
}

function percent(share: number): string {
  return `${formatNumber(100 * share, 1)}%`;
}
