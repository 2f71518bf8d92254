import type { Finding, NoiseTables } from '../../studies/index.ts';
import { linearAxis } from '../axis.ts';
import { shortLabel } from '../escape.ts';
import { capital } from '../estimate-html.ts';
import type { Annotation, Figure, FigureLayout, Shape } from '../figure.ts';
import { decimalsFor, formatChange, formatLevel, formatNumber, inUnit, unitSuffix } from '../numbers.ts';
import { colour } from '../palette.ts';
import { zoneShapes, zoneWords } from '../zone.ts';
import { agreementTable } from './tables.ts';

/** Golfers' differences between two devices or definitions against their means, with the limits of agreement. */
export function agreementFigure(finding: Finding<NoiseTables>): Figure | null {
  const { metric, smallestChange } = finding;
  const { agreement } = finding.tables;
  if (agreement === null) return null;
  const { points, first, second, mean, lower, upper, lowerInterval, upperInterval } = agreement;
  const decimals = decimalsFor((upper - lower) / 10);
  const suffix = unitSuffix(metric.unit);
  const names = `${shortLabel(first, 40)} minus ${shortLabel(second, 40)}`;
  const bounds = [
    { at: mean, name: 'mean', interval: agreement.meanInterval },
    { at: lower, name: 'lower limit', interval: lowerInterval },
    { at: upper, name: 'upper limit', interval: upperInterval },
  ];
  const edge = Math.abs(smallestChange?.value ?? 0);
  const layout = (narrow: boolean): FigureLayout => ({
    xaxis: {
      ...linearAxis(
        points.map((point) => point.mean),
        { title: `Mean of both${inUnit(metric.unit)}`, ticks: narrow ? 4 : 7, margin: 0.08 },
      ),
      showgrid: false,
      domain: [0, narrow ? 0.76 : 0.86],
    },
    yaxis: {
      ...linearAxis(
        [0, -edge, edge, lowerInterval[0], upperInterval[1], ...points.map(({ difference }) => difference)],
        { title: `Difference${inUnit(metric.unit)}`, format: formatChange },
      ),
      zeroline: true,
    },
    shapes: [
      ...zoneShapes(smallestChange, 'y')
        .filter(({ type }) => type === 'rect')
        .map((shape): Shape => ({ ...shape, xref: 'x domain' })),
      ...bounds.map(
        ({ at, name }): Shape => ({
          type: 'line',
          x0: 0,
          x1: 1,
          y0: at,
          y1: at,
          xref: 'x domain',
          yref: 'y',
          layer: 'above',
          line: { color: colour.control, width: 1.6, dash: name === 'mean' ? 'solid' : 'dash' },
        }),
      ),
    ],
    annotations: bounds.map(
      ({ at, name }): Annotation => ({
        text: `${name}\n${formatChange(at, decimals)}${suffix}`,
        x: 1,
        y: at,
        xref: 'paper',
        yref: 'y',
        showarrow: false,
        xanchor: 'right',
        yanchor: 'middle',
        font: { size: 12, color: colour.ink },
      }),
    ),
    height: narrow ? 380 : 420,
    showlegend: false,
  });
  const said = bounds.map(
    ({ at, name, interval }) =>
      `${name} ${formatChange(at, decimals)}${suffix} (${formatLevel(agreement.level)} interval ${formatChange(interval[0], decimals)} to ${formatChange(interval[1], decimals)}${suffix})`,
  );
  return {
    id: 'agreement',
    title: `${agreement.kind === 'devices' ? 'Two devices' : 'Two definitions'} set against each other`,
    caption:
      `${capital(names)}. One point for each golfer's means; the limits are those of a single reading, 95 of 100 differences lie between them. ${capital(said.join('; '))}. ${zoneWords(smallestChange)}`.trim(),
    description: `${capital(names)} over ${formatNumber(points.length, 0)} golfers: ${said.join('; ')}.`,
    data: [
      {
        type: 'scatter',
        mode: 'markers',
        name: 'golfers',
        x: points.map((point) => point.mean),
        y: points.map(({ difference }) => difference),
        hovertext: points.map(
          ({ golfer, difference }) =>
            `${shortLabel(golfer, 40)}\n${formatChange(difference, decimals)}${suffix}`,
        ),
        marker: { color: colour.drill, size: 9, symbol: 'circle' },
      },
    ],
    layout: layout(false),
    narrow: layout(true),
    table: agreementTable(finding),
  };
}
