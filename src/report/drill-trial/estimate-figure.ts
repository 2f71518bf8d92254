import type { Finding } from '../../studies/index.ts';
import { linearAxis } from '../axis.ts';
import { shortLabel } from '../escape.ts';
import type { Annotation, Figure, FigureLayout, Trace } from '../figure.ts';
import { formatChange, formatLevel, unitSuffix } from '../numbers.ts';
import { colour } from '../palette.ts';
import { wrapText } from '../text-width.ts';
import { intervalAgainstZone } from '../verdict-words.ts';
import { zoneNote, zoneShapes, zoneWords } from '../zone.ts';
import { type EstimateRow, estimateRows, type Rank } from './estimate-rows.ts';

const looks = {
  main: { marker: { color: colour.drill, size: 14, symbol: 'diamond' }, thickness: 4.5, cap: 0 },
  other: { marker: { color: colour.ink, size: 8, symbol: 'circle' }, thickness: 2, cap: 0 },
  sensitivity: { marker: { color: colour.soft, size: 7, symbol: 'circle-open' }, thickness: 1.5, cap: 0 },
} as const;

/** Width of the column of names, left of the drawing, in the wide form. */
const NAMES_PX = 218;

/** The span to show: the first estimate, the zone and zero whole; others as far as four times that. */
function spanOf(finding: Finding, rows: readonly EstimateRow[]): number[] {
  const edge = Math.abs(finding.smallestChange?.value ?? 0);
  const ends = ({ estimate }: EstimateRow): number[] =>
    [estimate.value, ...estimate.interval].filter(
      (end): end is number => end !== null && Number.isFinite(end),
    );
  const core = [-edge, edge, 0, ...(rows[0] === undefined ? [] : ends(rows[0]))];
  const most = 4 * core.reduce((a, b) => Math.max(a, Math.abs(b)), 0) || 1;
  const rest = rows.slice(1).flatMap(ends);
  return [...core.map((v) => v * 1.3), ...rest.map((v) => Math.max(-most, Math.min(most, v)))];
}

function trace(rank: Rank, rows: readonly EstimateRow[]): Trace {
  const look = looks[rank];
  const known = rows.filter((row) => row.rank === rank && row.estimate.value !== null);
  const half = (row: EstimateRow, end: 0 | 1): number => {
    const bound = row.estimate.interval[end];
    return bound === null || row.estimate.value === null ? 0 : Math.abs(bound - row.estimate.value);
  };
  return {
    type: 'scatter',
    mode: 'markers',
    name: { main: 'The answer', other: 'Other estimates', sensitivity: 'Under other choices' }[rank],
    x: known.map(({ estimate }) => estimate.value),
    y: known.map(({ slot }) => slot),
    hovertext: known.map(
      ({ name, estimate, value, range, words }) =>
        `${shortLabel(name, 60)}\n${value} (${formatLevel(estimate.level)} interval ${range})\n${wrapText(shortLabel(words, 160), 300, 13)}`,
    ),
    marker: look.marker,
    error_x: {
      type: 'data',
      symmetric: false,
      array: known.map((row) => half(row, 1)),
      arrayminus: known.map((row) => half(row, 0)),
      color: look.marker.color,
      thickness: look.thickness,
      width: look.cap,
    },
    showlegend: false,
  };
}

function labels(rows: readonly EstimateRow[], heading: number | null, narrow: boolean): Annotation[] {
  const base = { y: 0, xref: 'paper', yref: 'y', showarrow: false, yanchor: 'bottom', yshift: 9 } as const;
  const notes: Annotation[] = rows.flatMap(
    ({ rank, name, estimate, value: number, range, slot }): Annotation[] => {
      const main = rank === 'main';
      const font = {
        size: main ? 13.5 : 12.5,
        color: rank === 'sensitivity' ? colour.soft : colour.ink,
        weight: main ? 600 : 400,
      } as const;
      const value = estimate.value === null || range === '–' ? number : `${number}  (${range})`;
      const shown = shortLabel(name, narrow ? 80 : 62);
      if (narrow) {
        const text = `${wrapText(shown, 290, font.size)}\n${value}`;
        return [{ ...base, text, x: 0, y: slot, xanchor: 'left', font }];
      }
      const level = { ...base, yanchor: 'middle', yshift: 0 } as const;
      const text = wrapText(shown, NAMES_PX, font.size);
      return [
        { ...level, text, x: 0, y: slot, xanchor: 'left', font },
        { ...level, text: value, x: 1, y: slot, xanchor: 'right', font },
      ];
    },
  );
  if (heading !== null) {
    const font = { size: 12.5, color: colour.ink, weight: 600 } as const;
    const text = wrapText(
      'The answer again, under other reasonable choices',
      narrow ? 290 : NAMES_PX,
      font.size,
    );
    notes.push({ ...base, text, x: 0, y: heading, yanchor: 'middle', yshift: -6, xanchor: 'left', font });
  }
  return notes;
}

function layout(
  finding: Finding,
  rows: readonly EstimateRow[],
  heading: number | null,
  narrow: boolean,
): FigureLayout {
  const last = rows.at(-1)?.slot ?? 0;
  // At most what a printed page can hold.
  const pitch = narrow ? 74 : Math.min(38, 720 / (last + 1.45));
  const { metric, smallestChange } = finding;
  const way = { 1: '; more is better', '-1': '; less is better', 0: '' }[smallestChange?.goodDirection ?? 0];
  return {
    xaxis: {
      ...linearAxis(spanOf(finding, rows), {
        title: `Difference${unitSuffix(metric.unit) === '' ? '' : ` in ${metric.unit === 'deg' ? 'degrees' : metric.unit}`}${way}`,
        ticks: narrow ? 4 : 6,
        format: formatChange,
      }),
      zeroline: true,
      showgrid: false,
      ...(narrow ? {} : { domain: [0.34, 0.75] as const }),
    },
    yaxis: { range: [last + 0.45, -1], tickvals: [], ticktext: [], showgrid: false },
    // On a phone the names stand over the zone: its shade alone, without lines through the words.
    shapes: zoneShapes(smallestChange, 'x').filter(({ type }) => !narrow || type === 'rect'),
    annotations: [...zoneNote(smallestChange), ...labels(rows, heading, narrow)],
    height: Math.round((last + 1.45) * pitch + 76),
    showlegend: false,
  };
}

/** Every estimate that is a change in the metric, and each sensitivity, against the zone that does not matter. */
export function estimateFigure(finding: Finding): Figure {
  const { rows, heading } = estimateRows(finding);
  const first = rows[0];
  const said = rows
    .slice(0, 12)
    .map(({ name, value, range }) => `${shortLabel(name, 60)}: ${value}, interval ${range}`);
  const level = first === undefined ? '' : ` Line: ${formatLevel(first.estimate.level)} interval.`;
  return {
    id: 'estimate',
    title: 'The effect against what matters',
    caption:
      `Point: estimate.${level} ${zoneWords(finding.smallestChange)} ${intervalAgainstZone(finding)}`.trim(),
    description: `${zoneWords(finding.smallestChange)} ${said.join('. ')}.`.trim(),
    data: (['sensitivity', 'other', 'main'] as const)
      .filter((rank) => rows.some((row) => row.rank === rank))
      .map((rank) => trace(rank, rows)),
    layout: layout(finding, rows, heading, false),
    narrow: layout(finding, rows, heading, true),
    table: {
      columns: [
        { key: 'name', label: 'estimate' },
        { key: 'value', label: 'value', unit: finding.metric.unit },
        { key: 'low', label: 'low', unit: finding.metric.unit },
        { key: 'high', label: 'high', unit: finding.metric.unit },
        { key: 'df', label: 'degrees of freedom' },
      ],
      rows: rows.map(({ name, estimate }) => ({
        name,
        value: estimate.value,
        low: estimate.interval[0],
        high: estimate.interval[1],
        df: estimate.degreesOfFreedom,
      })),
    },
  };
}
