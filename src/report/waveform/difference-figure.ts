import type { Finding, WaveformTables } from '../../studies/index.ts';
import { linearAxis } from '../axis.ts';
import { marksOf } from '../curve-figure.ts';
import type { Figure, FigureLayout, Shape, Trace } from '../figure.ts';
import { narrowWidth, wideWidth } from '../figure-svg.ts';
import {
  decimalsFor,
  formatChange,
  formatInterval,
  formatLevel,
  formatNumber,
  formatQuantity,
  inUnit,
  unitSuffix,
} from '../numbers.ts';
import { colour } from '../palette.ts';
import { zoneShapes, zoneWords } from '../zone.ts';
import { nodesTable, SHOWN_EVERY } from './tables.ts';

/** The difference along the downswing with its simultaneous band, and the windows in which the band leaves out zero. */
export function differenceFigure(finding: Finding<WaveformTables>): Figure {
  const { tables, metric, smallestChange, estimates } = finding;
  const { nodes, windows, axis } = tables;
  const level = estimates[0]?.level ?? 0.95;
  const x = nodes.map(({ time }) => time);
  const hasBand = nodes.some(({ low }) => low !== null);
  const line = (name: string, y: readonly (number | null)[], width: number, dashed: boolean): Trace => ({
    type: 'scatter',
    mode: 'lines',
    name,
    x,
    y,
    line: { color: colour.drill, width, ...(dashed ? { dash: 'dash' } : {}) },
  });
  const band = `${formatLevel(level)} band`;
  const data: Trace[] = [
    {
      ...line(
        'difference',
        nodes.map(({ difference }) => difference),
        3,
        false,
      ),
      hovertext: nodes.map((node) => nodeWords(finding, node)),
    },
    ...(hasBand
      ? [
          {
            ...line(
              band,
              nodes.map(({ low }) => low),
              1.5,
              true,
            ),
            legendgroup: 'band',
          },
          {
            ...line(
              band,
              nodes.map(({ high }) => high),
              1.5,
              true,
            ),
            legendgroup: 'band',
            showlegend: false,
          },
        ]
      : []),
  ];
  return {
    id: 'difference',
    title: 'Where they differ',
    caption: [
      `Thick: ${tables.differenceWords}.`,
      hasBand
        ? `Dashed: the band that holds the true difference along the whole downswing at once (${formatLevel(level)}).`
        : 'There are too few golfers for a band.',
      windows.length > 0 ? 'Bars along the foot: where the band leaves out none.' : '',
      zoneWords(smallestChange),
    ]
      .filter((part) => part !== '')
      .join(' '),
    description: told(finding),
    data,
    layout: layoutOf(finding, false),
    narrow: layoutOf(finding, true),
    table: nodesTable(finding, SHOWN_EVERY),
  };

  function layoutOf({ tables: { nodes: all } }: Finding<WaveformTables>, narrow: boolean): FigureLayout {
    const xaxis = linearAxis(x, {
      title: `${axis.label}${inUnit(axis.unit)}`,
      ticks: narrow ? 4 : 7,
      margin: 0.02,
    });
    const s = smallestChange?.value ?? 0;
    const plain = linearAxis(
      [...all.flatMap(({ difference, low, high }) => [difference, low, high]), 0, s, -s],
      { title: `difference${inUnit(metric.unit)}` },
    );
    const marks = marksOf(axis.marks, xaxis.range, narrow ? narrowWidth : wideWidth);
    const [bottom, top] = plain.range;
    return {
      xaxis: { ...xaxis, showgrid: false },
      yaxis: {
        ...plain,
        range: [bottom, top + ((top - bottom) * marks.room) / (1 - marks.room)],
        zeroline: true,
      },
      shapes: [
        ...zoneShapes(smallestChange, 'y'),
        ...marks.shapes,
        ...windows.map(
          ({ from, to }): Shape => ({
            type: 'line',
            x0: from,
            x1: to === from ? from + (xaxis.range[1] - xaxis.range[0]) * 0.006 : to,
            y0: 0.015,
            y1: 0.015,
            xref: 'x',
            yref: 'paper',
            layer: 'above',
            line: { color: colour.control, width: 9 },
          }),
        ),
      ],
      annotations: marks.annotations,
      height: narrow ? 360 : 420,
      showlegend: hasBand,
    };
  }
}

/** `75%: difference −6.9° (−12.8 to −1.0°)`. */
function nodeWords(
  { tables: { axis }, metric: { unit } }: Finding<WaveformTables>,
  node: WaveformTables['nodes'][number],
): string {
  const { time, difference, low, high } = node;
  const interval = low === null || high === null ? '' : ` (${formatInterval([low, high], unit, 1)})`;
  return `${formatQuantity(time, axis.unit, 0)}: difference ${formatChange(difference, 1)}${unitSuffix(unit)}${interval}`;
}

function told({ tables, metric }: Finding<WaveformTables>): string {
  const { windows, axis, differenceWords } = tables;
  const opening = `${metric.label}, ${differenceWords}.`;
  if (windows.length === 0) return `${opening} The band holds zero throughout, or there is none.`;
  const time = (value: number) => `${formatNumber(value, 0)}${axis.unit === '%' ? '%' : ' ms'}`;
  return `${opening} ${windows
    .map(({ from, to, peakAt, peak, peakInterval }) => {
      const decimals = decimalsFor((peakInterval[1] - peakInterval[0]) / 2);
      return `From ${time(from)} to ${time(to)} the band leaves out zero; at ${time(peakAt)} the difference is ${formatQuantity(peak, metric.unit, decimals)}.`;
    })
    .join(' ')}`;
}
