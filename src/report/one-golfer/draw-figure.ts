import type { Finding, OneGolferTables } from '../../studies/index.ts';
import { linearAxis } from '../axis.ts';
import type { Figure, FigureLayout, Trace } from '../figure.ts';
import { decimalsFor, formatChange, formatCount, inUnit, unitSuffix } from '../numbers.ts';
import { colour } from '../palette.ts';
import { drawTable, isAsLarge } from './tables.ts';

/** The difference under every way in which the design could have fallen, ordered; null where there is no such list. */
export function drawFigure(finding: Finding<OneGolferTables>): Figure | null {
  const table = finding.tables.randomisation;
  if (table === null || table === undefined || table.differences.length === 0) return null;
  const { differences, difference: seen, ways, p, smallestP, drawn } = table;
  const { unit } = finding.metric;
  const decimals = decimalsFor(Math.max(...differences.map(Math.abs)) / 10);
  const placed = differences.map((difference, i) => ({ difference, place: i + 1 }));
  const at =
    placed.find(({ difference }) => Math.abs(difference - seen) <= 1e-9 * Math.abs(seen))?.place ?? 1;
  const many = ways > 60;
  const dots = (name: string, color: string, keep: (difference: number) => boolean): Trace[] => {
    const own = placed.filter(({ difference, place }) => place !== at && keep(difference));
    if (own.length === 0) return [];
    return [
      {
        type: 'scatter',
        mode: 'markers',
        name,
        x: own.map(({ place }) => place),
        y: own.map(({ difference }) => difference),
        hovertext: own.map(({ difference }) => `${formatChange(difference, decimals)}${unitSuffix(unit)}`),
        marker: { color, size: many ? 4 : 7, symbol: 'circle' },
      },
    ];
  };
  const layout = (narrow: boolean): FigureLayout => ({
    xaxis: {
      ...linearAxis([1, ways], {
        title: 'Ways in which the design could have fallen, ordered',
        ticks: narrow ? 4 : 8,
      }),
      showgrid: false,
    },
    yaxis: {
      ...linearAxis([0, ...differences], {
        title: `Mean of B less mean of A${inUnit(unit)}`,
        format: formatChange,
      }),
      zeroline: true,
    },
    shapes: [seen, -seen].map((y) => ({
      type: 'line',
      x0: 0,
      x1: 1,
      y0: y,
      y1: y,
      xref: 'paper',
      yref: 'y',
      layer: 'below',
      line: { color: colour.zoneEdge, width: 1, dash: 'dot' },
    })),
    height: narrow ? 340 : 340,
  });
  const large = differences.filter((difference) => isAsLarge(difference, seen)).length;
  const asIf = drawn
    ? 'The plan says that one of them was drawn.'
    : 'Nothing says that one of them was drawn at random: read p as if it had been.';
  return {
    id: 'draw',
    title: 'Had the phases begun elsewhere',
    caption: `One point for each way in which the design could have fallen: the difference that the same sessions would have shown. ${large} of ${ways} are at least as large as the one seen, either way (p = ${Number(p.toPrecision(3))}; the smallest possible is ${Number(smallestP.toPrecision(3))}). ${asIf}`,
    description: `${formatCount(ways, 'way')}; the difference seen is ${formatChange(seen, decimals)}${unitSuffix(unit)}, the others run from ${formatChange(differences[0], decimals)} to ${formatChange(differences.at(-1), decimals)}${unitSuffix(unit)}. ${large} are at least as large.`,
    data: [
      ...dots('as large', colour.control, (difference) => isAsLarge(difference, seen)),
      ...dots('smaller', colour.soft, (difference) => !isAsLarge(difference, seen)),
      {
        type: 'scatter',
        mode: 'markers',
        name: 'as it was',
        x: [at],
        y: [seen],
        hovertext: [`as it was: ${formatChange(seen, decimals)}${unitSuffix(unit)}`],
        marker: { color: colour.drill, size: 13, symbol: 'diamond' },
      },
    ],
    layout: layout(false),
    narrow: layout(true),
    table: drawTable(finding),
  };
}
