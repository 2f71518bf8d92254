import type { Finding, NoisePart, NoiseTables } from '../../studies/index.ts';
import { linearAxis } from '../axis.ts';
import type { Annotation, Figure, FigureLayout, Trace } from '../figure.ts';
import { decimalsFor, formatNumber, formatQuantity, inUnit } from '../numbers.ts';
import { colour } from '../palette.ts';
import { partTable, partWords } from './tables.ts';

/** Room between two rows, px. */
const PITCH = { wide: 62, narrow: 74 };

/** The SD of each source of variance with its interval, from mean squares and by likelihood; null where none is known. */
export function partsFigure(finding: Finding<NoiseTables>): Figure | null {
  const { metric, tables } = finding;
  const known = tables.parts.filter(({ sd }) => sd !== null);
  if (known.length === 0) return null;
  const { unit } = metric;
  const ends = known.flatMap(({ sd, interval, likelihoodInterval, likelihoodSd }) => [
    sd,
    likelihoodSd,
    ...(interval ?? []),
    ...(likelihoodInterval ?? []),
  ]);
  const most = Math.max(...ends.map((end) => end ?? 0));
  const decimals = decimalsFor(most / 20);
  const says = (part: NoisePart) =>
    `${partWords(part.part)}: ${formatQuantity(part.sd, unit, decimals)}${
      part.interval === null
        ? ''
        : ` (${formatNumber(part.interval[0], decimals)} to ${formatQuantity(part.interval[1], unit, decimals)})`
    }`;
  const layout = (narrow: boolean): FigureLayout => ({
    xaxis: {
      ...linearAxis([0, ...ends], { title: `SD${inUnit(unit)}`, ticks: narrow ? 4 : 7 }),
      zeroline: true,
      ...(narrow ? {} : { domain: [0.3, 1] as const }),
    },
    yaxis: { range: [known.length - 0.4, -0.7], tickvals: [], ticktext: [], showgrid: false },
    annotations: known.map((part, row) => nameOf(part, row, narrow)),
    height: known.length * (narrow ? PITCH.narrow : PITCH.wide) + 110,
    showlegend: known.some(({ likelihoodSd }) => likelihoodSd !== null),
  });
  return {
    id: 'variances',
    title: 'Where the spread comes from',
    caption:
      'SD of each source with its interval: golfers truly differ by this much; one golfer differs so from day to day; and so from swing to swing within a day. Two ways to the same numbers stand one over the other.',
    description: `${known.map(says).join('. ')}.`,
    data: [
      trace(
        known,
        'from mean squares',
        -0.1,
        ({ sd }) => sd,
        ({ interval }) => interval,
        says,
      ),
      ...(known.some(({ likelihoodSd }) => likelihoodSd !== null)
        ? [
            trace(
              known,
              'by restricted maximum likelihood',
              0.15,
              ({ likelihoodSd }) => likelihoodSd,
              ({ likelihoodInterval }) => likelihoodInterval,
              null,
            ),
          ]
        : []),
    ],
    layout: layout(false),
    narrow: layout(true),
    table: partTable(finding),
  };
}

function nameOf({ part, share }: NoisePart, row: number, narrow: boolean): Annotation {
  const text = `${partWords(part)}${share === null ? '' : `${narrow ? ', ' : '\n'}${formatNumber(100 * share, 0)}% of ${narrow ? 'all' : 'the variance'}`}`;
  return {
    text,
    x: 0,
    y: row,
    xref: 'paper',
    yref: 'y',
    showarrow: false,
    xanchor: 'left',
    yanchor: narrow ? 'bottom' : 'middle',
    ...(narrow ? { yshift: 14 } : {}),
    font: { size: 13, color: colour.ink },
  };
}

function trace(
  parts: readonly NoisePart[],
  name: string,
  shift: number,
  sizeOf: (part: NoisePart) => number | null,
  intervalOf: (part: NoisePart) => readonly [number, number] | null,
  says: ((part: NoisePart) => string) | null,
): Trace {
  const main = says !== null;
  const there = parts.map((part, row) => ({ part, row })).filter(({ part }) => sizeOf(part) !== null);
  const half = (part: NoisePart, end: 0 | 1) => {
    const interval = intervalOf(part);
    // The interval of the likelihood is that of the unrestricted one and need not hold this estimate.
    return interval === null ? 0 : Math.max(0, (end === 1 ? 1 : -1) * (interval[end] - sizeOf(part)!));
  };
  const color = main ? colour.drill : colour.soft;
  return {
    type: 'scatter',
    mode: 'markers',
    name,
    x: there.map(({ part }) => sizeOf(part)),
    y: there.map(({ row }) => row + shift),
    ...(says === null ? {} : { hovertext: there.map(({ part }) => says(part)) }),
    marker: { color, size: main ? 11 : 8, symbol: main ? 'circle' : 'square-open' },
    error_x: {
      type: 'data',
      symmetric: false,
      array: there.map(({ part }) => half(part, 1)),
      arrayminus: there.map(({ part }) => half(part, 0)),
      color,
      thickness: main ? 3 : 1.5,
      width: 0,
    },
  };
}
