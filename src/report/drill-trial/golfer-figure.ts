import type { DrillTrialTables, Finding, GolferChange } from '../../studies/index.ts';
import { linearAxis } from '../axis.ts';
import { shortLabel } from '../escape.ts';
import type { Annotation, Figure, FigureLayout, Trace } from '../figure.ts';
import { decimalsFor, formatChange, formatInterval, formatNumber, unitSuffix } from '../numbers.ts';
import { colour } from '../palette.ts';
import { type ArmStyle, armStyles } from './arms.ts';
import { zoneNote, zoneShapes, zoneWords } from './zone.ts';

/** More golfers than this make a second figure, so that each fits a printed page. */
const mostPerFigure = 40;
const rowHeight = 16;

interface Row {
  readonly golfer: GolferChange;
  readonly slot: number;
}
interface Section {
  readonly style: ArmStyle;
  readonly heading: string;
  readonly slot: number;
  readonly rows: readonly Row[];
}

const bestGuess = ({ shrunken, change }: GolferChange): number | null => shrunken ?? change;

/** The golfers of an arm who have a change, from the most to the least in the good direction. */
export function orderedGolfers(finding: Finding<DrillTrialTables>, arm: string): GolferChange[] {
  const sign = finding.smallestChange?.goodDirection === -1 ? -1 : 1;
  return finding.tables.golfers
    .filter((golfer) => golfer.arm === arm && bestGuess(golfer) !== null)
    .map((golfer, place) => ({ golfer, place, key: sign * (bestGuess(golfer) as number) }))
    .sort((a, b) => b.key - a.key || a.place - b.place)
    .map(({ golfer }) => golfer);
}

function sectionsOf(
  parts: readonly { style: ArmStyle; heading: string; golfers: readonly GolferChange[] }[],
): Section[] {
  let slot = 0;
  return parts.map(({ style, heading, golfers }) => {
    const from = slot;
    slot += golfers.length + 1.6;
    return { style, heading, slot: from, rows: golfers.map((golfer, k) => ({ golfer, slot: from + 1 + k })) };
  });
}

function words(golfer: GolferChange, unit: string, decimals: number): string {
  const suffix = unitSuffix(unit);
  const lines = [
    shortLabel(golfer.golfer, 40),
    `observed ${formatChange(golfer.change, decimals)}${suffix} (${formatNumber(golfer.swingsBefore, 0)} swings before, ${formatNumber(golfer.swingsAfter, 0)} after)`,
  ];
  if (golfer.shrunken !== null) {
    lines.push(
      `best guess ${formatChange(golfer.shrunken, decimals)}${suffix}, ${formatInterval(golfer.interval, unit, decimals)}`,
    );
  }
  if (golfer.chanceMeaningful !== null) {
    lines.push(`chance that the change matters ${formatNumber(golfer.chanceMeaningful * 100, 0)}%`);
  }
  return lines.join('\n');
}

function traces(section: Section, first: boolean, unit: string, decimals: number): Trace[] {
  const observed = section.rows.filter(({ golfer }) => golfer.change !== null);
  const guessed = section.rows.filter(({ golfer }) => golfer.shrunken !== null);
  const half = ({ golfer }: Row, end: 0 | 1): number =>
    golfer.interval === null || golfer.shrunken === null
      ? 0
      : Math.abs(golfer.interval[end] - golfer.shrunken);
  return [
    {
      type: 'scatter',
      mode: 'markers',
      name: section.style.label,
      x: guessed.map(({ golfer }) => golfer.shrunken),
      y: guessed.map(({ slot }) => slot),
      hovertext: guessed.map(({ golfer }) => words(golfer, unit, decimals)),
      marker: { color: section.style.color, size: 8, symbol: section.style.symbol },
      error_x: {
        type: 'data',
        symmetric: false,
        array: guessed.map((row) => half(row, 1)),
        arrayminus: guessed.map((row) => half(row, 0)),
        color: section.style.color,
        thickness: 1.6,
        width: 0,
      },
    },
    {
      type: 'scatter',
      mode: 'markers',
      name: 'as observed',
      x: observed.map(({ golfer }) => golfer.change),
      y: observed.map(({ slot }) => slot),
      hovertext: observed.map(({ golfer }) => words(golfer, unit, decimals)),
      marker: { color: colour.soft, size: 6, symbol: 'circle-open' },
      legendgroup: 'observed',
      showlegend: first,
    },
  ];
}

function heading({ heading: text, slot, style }: Section): Annotation {
  return {
    text,
    x: 0,
    y: slot,
    xref: 'paper',
    yref: 'y',
    showarrow: false,
    xanchor: 'left',
    yanchor: 'middle',
    font: { size: 12.5, color: style.color, weight: 600 },
  };
}

function oneFigure(
  finding: Finding<DrillTrialTables>,
  parts: readonly { style: ArmStyle; heading: string; golfers: readonly GolferChange[] }[],
  id: string,
  title: string,
): Figure {
  const { metric, smallestChange } = finding;
  const sections = sectionsOf(parts);
  const rows = sections.flatMap((section) => section.rows);
  const last = rows.at(-1)?.slot ?? 0;
  const values = rows.flatMap(({ golfer }) => [golfer.change, golfer.shrunken, ...(golfer.interval ?? [])]);
  const spread = values.filter((v): v is number => v !== null).reduce((a, b) => Math.max(a, Math.abs(b)), 0);
  const decimals = decimalsFor(spread / 10);
  const edge = Math.abs(smallestChange?.value ?? 0);
  const layout = (narrow: boolean): FigureLayout => ({
    xaxis: {
      ...linearAxis([...values, -edge, edge, 0], {
        title: `Change, after less before${unitSuffix(metric.unit) === '' ? '' : ` (${unitSuffix(metric.unit).trim()})`}`,
        ticks: narrow ? 4 : 7,
        format: formatChange,
      }),
      zeroline: true,
    },
    yaxis: {
      range: [last + 0.8, -0.8],
      tickvals: rows.map(({ slot }) => slot),
      ticktext: rows.map(({ golfer }) => shortLabel(golfer.golfer, narrow ? 10 : 16)),
      showgrid: false,
    },
    shapes: zoneShapes(smallestChange, 'x'),
    annotations: [...zoneNote(smallestChange), ...sections.map(heading)],
    height: Math.round((last + 1.6) * rowHeight + (narrow ? 56 : 28) + 74),
  });
  const summary = parts.map(({ heading: name, golfers }) => {
    const sure = golfers.filter(({ chanceMeaningful }) => (chanceMeaningful ?? 0) >= 0.9).length;
    const guesses = golfers.map(bestGuess) as number[];
    const range = `${formatChange(
      guesses.reduce((a, b) => Math.min(a, b), Infinity),
      decimals,
    )} to ${formatChange(
      guesses.reduce((a, b) => Math.max(a, b), -Infinity),
      decimals,
    )}${unitSuffix(metric.unit)}`;
    return golfers.length === 0
      ? `${name}: no golfer with a change.`
      : `${name}: best guesses run from ${range}; for ${sure} the chance that the change matters is 90% or more.`;
  });
  return {
    id,
    title,
    caption: `Filled: the best guess for each golfer, drawn towards the group’s change as far as the golfer’s own swings are noisy, with its interval. Open: the change as observed. ${zoneWords(smallestChange)}`,
    description: `${summary.join(' ')} ${zoneWords(smallestChange)}`,
    data: sections.flatMap((section, k) => traces(section, k === 0, metric.unit, decimals)),
    layout: layout(false),
    narrow: layout(true),
    table: {
      columns: [
        { key: 'golfer', label: 'golfer' },
        { key: 'arm', label: 'arm' },
        { key: 'before', label: 'before', unit: metric.unit },
        { key: 'after', label: 'after', unit: metric.unit },
        { key: 'retention', label: 'retention', unit: metric.unit },
        { key: 'change', label: 'change observed', unit: metric.unit },
        { key: 'shrunken', label: 'best guess', unit: metric.unit },
        { key: 'low', label: 'low', unit: metric.unit },
        { key: 'high', label: 'high', unit: metric.unit },
        { key: 'chance', label: 'chance it matters' },
      ],
      rows: rows.map(({ golfer }) => ({
        golfer: golfer.golfer,
        arm: golfer.arm,
        before: golfer.before,
        after: golfer.after,
        retention: golfer.retention,
        change: golfer.change,
        shrunken: golfer.shrunken,
        low: golfer.interval?.[0] ?? null,
        high: golfer.interval?.[1] ?? null,
        chance: golfer.chanceMeaningful,
      })),
    },
  };
}

/**
 * Each golfer's change, by arm, ordered: one figure for up to 40 golfers, otherwise one or more for each arm.
 */
export function golferFigures(finding: Finding<DrillTrialTables>): Figure[] {
  const parts = armStyles(finding).map((style) => {
    const golfers = orderedGolfers(finding, style.arm);
    return { style, golfers, heading: `${style.label} (${golfers.length})` };
  });
  const total = parts.reduce((sum, { golfers }) => sum + golfers.length, 0);
  const title = 'Each golfer’s change';
  if (total === 0) return [];
  if (total <= mostPerFigure)
    return [
      oneFigure(
        finding,
        parts.filter((p) => p.golfers.length > 0),
        'golfers',
        title,
      ),
    ];
  const pages = parts.flatMap(({ style, golfers }) =>
    Array.from({ length: Math.ceil(golfers.length / mostPerFigure) }, (_, k) => {
      const some = golfers.slice(k * mostPerFigure, (k + 1) * mostPerFigure);
      const from = k * mostPerFigure + 1;
      return {
        style,
        golfers: some,
        heading: `${style.label} (${from} to ${from + some.length - 1} of ${golfers.length})`,
      };
    }),
  );
  return pages.map((part, k) => oneFigure(finding, [part], `golfers-${k + 1}`, `${title}: ${part.heading}`));
}
