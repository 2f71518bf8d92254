import type { Finding, InstructorsTables } from '../../studies/index.ts';
import { linearAxis } from '../axis.ts';
import type { Figure, FigureLayout, Trace } from '../figure.ts';
import { formatCount, formatNumber } from '../numbers.ts';
import { colour } from '../palette.ts';
import { reliabilityTable } from './tables.ts';

/** How reliable differences between instructors' means are, by how many pupils each has. */
export function reliabilityFigure(finding: Finding<InstructorsTables>): Figure | null {
  const { reliability } = finding.tables;
  if (reliability.length === 0) return null;
  const trace: Trace = {
    type: 'scatter',
    mode: 'lines+markers',
    name: 'reliability',
    x: reliability.map(({ pupils }) => pupils),
    y: reliability.map((row) => row.reliability),
    hovertext: reliability.map(
      (row) =>
        `${formatCount(row.pupils, 'pupil')}: ${formatNumber(row.reliability, 2)} (${formatNumber(row.interval[0], 2)} to ${formatNumber(row.interval[1], 2)})`,
    ),
    marker: { color: colour.drill, size: 8, symbol: 'circle' },
    line: { color: colour.drill, width: 2 },
    error_y: {
      type: 'data',
      symmetric: false,
      array: reliability.map((row) => row.interval[1] - row.reliability),
      arrayminus: reliability.map((row) => row.reliability - row.interval[0]),
      color: colour.drill,
      thickness: 1.5,
      width: 0,
    },
    showlegend: false,
  };
  const layout = (narrow: boolean): FigureLayout => ({
    xaxis: {
      ...linearAxis([0, ...reliability.map(({ pupils }) => pupils)], {
        title: 'Pupils of each instructor',
        ticks: narrow ? 4 : 8,
      }),
      showgrid: false,
    },
    yaxis: {
      ...linearAxis([0, 1], { title: 'Reliability of differences between means', ticks: 5 }),
      zeroline: true,
    },
    height: 330,
    showlegend: false,
  });
  return {
    id: 'reliability',
    title: 'How many pupils it takes',
    caption:
      'Of all that separates the means of two instructors with so many pupils, the part that is theirs and not chance; line: interval. Near 0 a league table is a lottery, near 1 it is an order.',
    description: reliability
      .map((row) => `${formatCount(row.pupils, 'pupil')}: ${formatNumber(row.reliability, 2)}`)
      .join('. '),
    data: [trace],
    layout: layout(false),
    narrow: layout(true),
    table: reliabilityTable(finding),
  };
}
