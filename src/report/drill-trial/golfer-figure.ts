import type { DrillTrialTables, Finding, GolferChange } from '../../studies/index.ts';
import { linearAxis } from '../axis.ts';
import { shortLabel } from '../escape.ts';
import type { Annotation, Figure, FigureLayout } from '../figure.ts';
import { decimalsFor, formatChange, inUnit, unitSuffix } from '../numbers.ts';
import { zoneNote, zoneShapes, zoneWords } from '../zone.ts';
import { designWords } from './design-words.ts';
import { bestGuess, type GolferPart, type GolferSection, golferParts, sectionsOf } from './golfer-rows.ts';
import { golferTraces } from './golfer-traces.ts';
import { golferTable } from './tables.ts';

/** Height of a golfer's row in px. */
const rowHeight = 16;

function headingNote({ heading, slot, style }: GolferSection): Annotation {
  return {
    text: heading,
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

function layoutOf(
  finding: Finding<DrillTrialTables>,
  sections: readonly GolferSection[],
  narrow: boolean,
): FigureLayout {
  const { metric, smallestChange } = finding;
  const rows = sections.flatMap((section) => section.rows);
  const last = rows.at(-1)?.slot ?? 0;
  const edge = Math.abs(smallestChange?.value ?? 0);
  const values = rows.flatMap(({ golfer }) => [golfer.change, golfer.shrunken, ...(golfer.interval ?? [])]);
  return {
    xaxis: {
      ...linearAxis([...values, -edge, edge, 0], {
        title: `${designWords(finding).change}${inUnit(metric.unit)}`,
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
    annotations: [...zoneNote(smallestChange), ...sections.map(headingNote)],
    height: Math.round((last + 1.6) * rowHeight + (narrow ? 56 : 28) + 74),
  };
}

function described(finding: Finding, parts: readonly GolferPart[], decimals: number): string {
  const { observed } = designWords(finding);
  const told = parts.map(({ heading, golfers }) => {
    const sure = golfers.filter(({ chanceMeaningful }) => (chanceMeaningful ?? 0) >= 0.9).length;
    const guesses = golfers.map(bestGuess).filter((guess) => guess !== null);
    const low = guesses.reduce((a, b) => Math.min(a, b));
    const high = guesses.reduce((a, b) => Math.max(a, b));
    return (
      `${heading}: best guesses run from ${formatChange(low, decimals)} to ${formatChange(high, decimals)}${unitSuffix(finding.metric.unit)}; ` +
      (chancesGiven(golfers)
        ? `for ${sure} the chance that the ${observed} matters is 90% or more.`
        : `no chances are given.`)
    );
  });
  return `${told.join(' ')} ${zoneWords(finding.smallestChange)}`.trim();
}

function chancesGiven(golfers: readonly GolferChange[]): boolean {
  return golfers.some(({ chanceMeaningful }) => chanceMeaningful !== null);
}

/** Where intervals come without chances, days could not be told apart from the golfer; see the study's check. */
function daysIncluded(golfers: readonly GolferChange[]): string {
  const given = golfers.some(({ interval }) => interval !== null);
  return given && !chancesGiven(golfers)
    ? ' Intervals are of the change between these visits; what single days did is in it, so a lasting change is less sure than they look.'
    : '';
}

/** Two figures of a typical half interval, or of a tenth of the largest change where there are no intervals. */
export function golferDecimals(golfers: readonly GolferChange[]): number {
  const halves = golfers.flatMap(({ interval }) =>
    interval === null ? [] : [(interval[1] - interval[0]) / 2],
  );
  if (halves.length > 0) return decimalsFor(halves.reduce((sum, half) => sum + half) / halves.length);
  return decimalsFor(
    golfers.reduce((most, golfer) => Math.max(most, Math.abs(bestGuess(golfer) ?? 0)), 0) / 10,
  );
}

function oneFigure(
  finding: Finding<DrillTrialTables>,
  parts: readonly GolferPart[],
  id: string,
  title: string,
): Figure {
  const { metric, smallestChange } = finding;
  const design = designWords(finding);
  const sections = sectionsOf(parts);
  const golfers = sections.flatMap(({ rows }) => rows.map(({ golfer }) => golfer));
  const decimals = golferDecimals(golfers);
  return {
    id,
    title,
    caption:
      `Filled: the best guess for each golfer, drawn towards the group’s ${design.observed} as far as the golfer’s own swings are noisy, with its interval. Open: the ${design.observed} as observed. ${zoneWords(smallestChange)}${daysIncluded(golfers)}`.trim(),
    description: described(finding, parts, decimals),
    data: sections.flatMap((section, k) =>
      golferTraces(section, k === 0, { unit: metric.unit, decimals, design }),
    ),
    layout: layoutOf(finding, sections, false),
    narrow: layoutOf(finding, sections, true),
    table: golferTable(finding, golfers),
  };
}

/** Each golfer's change, by arm, ordered: one figure for up to 40 golfers, otherwise one or more for each arm. */
export function golferFigures(finding: Finding<DrillTrialTables>): Figure[] {
  const pages = golferParts(finding);
  const { title } = designWords(finding);
  return pages.map((parts, k) =>
    pages.length === 1
      ? oneFigure(finding, parts, 'golfers', title)
      : oneFigure(finding, parts, `golfers-${k + 1}`, `${title}: ${parts[0]?.heading}`),
  );
}
