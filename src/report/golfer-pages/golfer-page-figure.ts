import type { DrillTrialTables, Finding, GolferChange } from '../../studies/index.ts';
import { linearAxis } from '../axis.ts';
import { designWords } from '../drill-trial/design-words.ts';
import { golferTable } from '../drill-trial/tables.ts';
import type { Figure, FigureLayout, Shape } from '../figure.ts';
import { inUnit } from '../numbers.ts';
import { colour } from '../palette.ts';
import { zoneWords } from '../zone.ts';
import { golferWords } from './golfer-words.ts';

/** The best guess stands so far to the right of the value that was observed, in phases. */
const aside = 0.12;

/** One golfer's means as observed, and the best guess with its interval, against the zone round the mean before. */
export function golferPageFigure(finding: Finding<DrillTrialTables>, golfer: GolferChange): Figure | null {
  const { metric, smallestChange } = finding;
  const { before, shrunken, interval } = golfer;
  const design = designWords(finding);
  if (before === null) return null;
  const seen = [
    { x: 0, label: design.before, value: before },
    { x: 1, label: design.after, value: golfer.after },
    { x: 2, label: 'later', value: golfer.retention },
  ].filter(({ value }, k) => k < 2 || value !== null);
  const edge = Math.abs(smallestChange?.value ?? 0);
  const scale = linearAxis(
    [
      ...seen.map(({ value }) => value),
      before - edge,
      before + edge,
      ...(interval ?? []).map((end) => before + end),
    ],
    { title: `Mean of full swings${inUnit(metric.unit)}` },
  );
  const across = { x0: 0, x1: 1, xref: 'paper', yref: 'y', layer: 'below' } as const;
  const line = { color: colour.zoneEdge, width: 1 };
  const rule: Shape = { type: 'line', ...across, y0: before, y1: before, line };
  const zone: Shape = {
    type: 'rect',
    ...across,
    y0: before - edge,
    y1: before + edge,
    fillcolor: colour.zone,
  };
  const layout: FigureLayout = {
    xaxis: {
      range: [-0.4, seen.length - 0.6],
      tickvals: seen.map(({ x }) => x),
      ticktext: seen.map(({ label }) => label),
      showgrid: false,
    },
    yaxis: scale,
    shapes: edge === 0 ? [rule] : [zone, rule],
    height: 340,
  };
  const guess =
    shrunken === null
      ? []
      : [
          {
            type: 'scatter',
            mode: 'markers',
            name: 'best guess, with its interval',
            x: [1 + aside],
            y: [before + shrunken],
            marker: { color: colour.drill, size: 10, symbol: 'circle' },
            error_y: {
              type: 'data',
              symmetric: false,
              array: [interval === null ? 0 : interval[1] - shrunken],
              arrayminus: [interval === null ? 0 : shrunken - interval[0]],
              color: colour.drill,
              thickness: 2.5,
              width: 4,
            },
          } as const,
        ];
  return {
    id: 'golfer',
    title: design.crossover ? 'The two conditions' : 'Before and after',
    caption: `Open: the means as observed. ${zoneWords(smallestChange)}`.trim(),
    description: golferWords(finding, golfer),
    data: [
      {
        type: 'scatter',
        mode: 'lines+markers',
        name: 'as observed',
        x: seen.map(({ x }) => x),
        y: seen.map(({ value }) => value),
        marker: { color: colour.soft, size: 9, symbol: 'circle-open' },
        line: { color: colour.soft, width: 1.5 },
      },
      ...guess,
    ],
    layout,
    table: golferTable(finding, [golfer]),
  };
}
