import type { Finding, WaveformTables } from '../../studies/index.ts';
import { linearAxis } from '../axis.ts';
import type { Figure, FigureLayout, Trace } from '../figure.ts';
import { formatCount, inUnit } from '../numbers.ts';
import { colour } from '../palette.ts';
import { golfersTable, SHOWN_EVERY } from './tables.ts';

const LOOKS = [colour.drill, colour.control, colour.third, colour.fourth] as const;

/** Each golfer's own curve that entered the comparison, and the mean of each group. */
export function golfersFigure(finding: Finding<WaveformTables>): Figure {
  const { tables, metric } = finding;
  const { axis, golfers, nodes } = tables;
  const times = nodes.map(({ time }) => time);
  // The group that is asked about first, so that it has the colour that it has in the other figures.
  const order = finding.design.arms.map(({ arm }) => arm);
  const groups = [...new Set([...order, ...golfers.map(({ group }) => group)])]
    .filter((group) => golfers.some((golfer) => golfer.group === group))
    .slice(0, LOOKS.length);
  const change = finding.design.kind.includes('changed') || finding.design.kind.includes('before');
  const data = groups.flatMap((group, k): Trace[] => {
    const own = golfers.filter((golfer) => golfer.group === group);
    const mean = times.map((_, q) => own.reduce((sum, { values }) => sum + values[q]!, 0) / own.length);
    return [
      {
        type: 'scatter',
        mode: 'lines',
        name: `golfers, ${group}`,
        x: own.flatMap(() => [...times, null]),
        y: own.flatMap(({ values }) => [...values, null]),
        line: { color: LOOKS[k]!, width: 1 },
        opacity: 0.45,
        legendgroup: group,
        showlegend: false,
      },
      {
        type: 'scatter',
        mode: 'lines',
        name: group,
        x: times,
        y: mean,
        line: { color: LOOKS[k]!, width: 3, ...(k % 2 === 1 ? { dash: 'dash' } : {}) },
        legendgroup: group,
      },
    ];
  });
  const layout = (narrow: boolean): FigureLayout => ({
    xaxis: {
      ...linearAxis(times, {
        title: `${axis.label}${inUnit(axis.unit)}`,
        ticks: narrow ? 4 : 7,
        margin: 0.02,
      }),
      showgrid: false,
    },
    yaxis: linearAxis(
      golfers.flatMap(({ values }) => values),
      { title: `${change ? 'change, after less before' : metric.label}${inUnit(metric.unit)}` },
    ),
    height: narrow ? 360 : 400,
    showlegend: groups.length > 1,
  });
  return {
    id: 'golfers',
    title: 'Golfer by golfer',
    caption: `Thin: one line for each golfer, ${change ? 'the mean of the swings after less the mean before' : 'the mean of the golfer’s swings'}. Thick: the mean of ${groups.length > 1 ? 'each group' : 'them all'}.`,
    description: `${metric.label}: ${groups
      .map(
        (group) =>
          `${group}, ${formatCount(golfers.filter((golfer) => golfer.group === group).length, 'golfer', 'golfers')}`,
      )
      .join('; ')}.`,
    data,
    layout: layout(false),
    narrow: layout(true),
    table: golfersTable(finding, SHOWN_EVERY),
  };
}
