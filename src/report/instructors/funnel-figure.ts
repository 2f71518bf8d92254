import type { Finding, InstructorsTables } from '../../studies/index.ts';
import { linearAxis } from '../axis.ts';
import type { Dash, Figure, FigureLayout, Trace } from '../figure.ts';
import { decimalsFor, formatChange, formatCount, inUnit, unitSuffix } from '../numbers.ts';
import { colour } from '../palette.ts';
import { instructorTable } from './tables.ts';

/** Normal quantiles of the two limits: of 20 and of 500 instructors who do not differ, one would lie outside by chance. */
const LIMITS = [
  { z: 1.959963984540054, words: '1 in 20 by chance', dash: 'solid' },
  { z: 3.090232306167813, words: '1 in 500 by chance', dash: 'dash' },
] as const satisfies readonly { z: number; words: string; dash: Dash }[];

/**
 * Mean gains before shrinking against the number of pupils, with limits of chance (Spiegelhalter 2005, Statistics in
 * Medicine 24:1185-1202): means of few pupils spread wide even where instructors do not differ.
 */
export function funnelFigure(finding: Finding<InstructorsTables>): Figure | null {
  const { instructors, withinSd } = finding.tables;
  if (instructors.length === 0 || withinSd === null) return null;
  const { unit, label } = finding.metric;
  const most = Math.max(...instructors.map(({ pupils }) => pupils));
  const sizes = Array.from({ length: 60 }, (_, i) => 3 + (i * (1.1 * most - 3)) / 59);
  const limits = LIMITS.flatMap(({ z, words, dash }) =>
    [1, -1].map(
      (side): Trace => ({
        type: 'scatter',
        mode: 'lines',
        name: words,
        x: sizes,
        y: sizes.map((size) => (side * z * withinSd) / Math.sqrt(size)),
        line: { color: colour.soft, width: 1.5, dash },
        showlegend: side === 1,
        legendgroup: words,
      }),
    ),
  );
  const decimals = decimalsFor(withinSd / 10);
  const points: Trace = {
    type: 'scatter',
    mode: 'markers',
    name: 'an instructor',
    x: instructors.map(({ pupils }) => pupils),
    y: instructors.map(({ raw }) => raw),
    hovertext: instructors.map(
      ({ instructor, pupils, raw }) =>
        `${instructor}, ${formatCount(pupils, 'pupil')}\n${formatChange(raw, decimals)}${unitSuffix(unit)} before shrinking`,
    ),
    marker: { color: colour.drill, size: 9, symbol: 'circle' },
    showlegend: true,
  };
  const outside = (z: number) =>
    instructors.filter(({ raw, pupils }) => Math.abs(raw) > (z * withinSd) / Math.sqrt(pupils)).length;
  const layout = (narrow: boolean): FigureLayout => ({
    xaxis: {
      ...linearAxis([3, 1.1 * most], { title: 'Pupils', ticks: narrow ? 4 : 6 }),
      showgrid: false,
    },
    yaxis: {
      ...linearAxis(
        [
          ...instructors.map(({ raw }) => raw),
          ...[1, -1].map((side) => (side * LIMITS[1].z * withinSd) / Math.sqrt(3)),
        ],
        { title: `Mean gain against the mean instructor${inUnit(unit)}`, format: formatChange },
      ),
      zeroline: true,
    },
    height: narrow ? 400 : 380,
    showlegend: true,
  });
  return {
    id: 'funnel',
    title: 'What chance alone would do',
    caption:
      'Each point is an instructor before any shrinking. Lines: where means would lie by chance if instructors did not differ at all; the fewer the pupils, the wider.',
    description: `${label}. ${outside(LIMITS[0].z)} of ${instructors.length} instructors lie outside the inner lines and ${outside(LIMITS[1].z)} outside the outer ones.`,
    data: [...limits, points],
    layout: layout(false),
    narrow: layout(true),
    table: instructorTable(finding),
  };
}
