import type { DrillTrialTables, Finding, GolferChange } from '../../studies/index.ts';
import { niceTicks } from '../axis.ts';
import type { Annotation, Figure, FigureLayout, Shape, Trace } from '../figure.ts';
import { formatChange, formatCount, formatNumber, formatQuantity, inUnit } from '../numbers.ts';
import { colour } from '../palette.ts';
import { fittingLabel, textWidth } from '../text-width.ts';
import { zoneWords } from '../zone.ts';
import { designWords } from './design-words.ts';
import { golferDecimals } from './golfer-figure.ts';
import { type GolferPart, golferParts } from './golfer-rows.ts';
import { golferWords, type Telling } from './golfer-traces.ts';
import {
  at,
  type Cell,
  cellsOf,
  columns,
  differences,
  inPanel,
  panelStep,
  panelWidth,
  rowHeight,
  type Scale,
  scaleOf,
} from './multiples-panels.ts';
import { golferTable } from './tables.ts';

/** The best guess stands so far to the right of the value that was observed. */
const aside = 0.32;

function tracesOf(part: GolferPart, cells: readonly Cell[], scale: Scale, telling: Telling): Trace[] {
  const own = cells.filter((cell) => cell.part === part);
  const path = own.flatMap(({ golfer, x, y }) => {
    const values = differences(golfer);
    const points = (['before', 'after', 'later'] as const).flatMap((phase) => {
      const value = values[phase];
      return value === null ? [] : [{ x: x + at[phase], y: y + inPanel(value, scale), golfer }];
    });
    return [...points, null];
  });
  const guesses = own.flatMap(({ golfer, x, y }) => {
    const { shrunken, interval } = golfer;
    if (shrunken === null) return [];
    const height = (change: number): number => y + inPanel(change, scale);
    return [
      {
        golfer,
        x: x + at.after + aside,
        y: height(shrunken),
        up: interval === null ? 0 : height(interval[1]) - height(shrunken),
        down: interval === null ? 0 : height(shrunken) - height(interval[0]),
      },
    ];
  });
  const { color, symbol, open, label } = part.style;
  return [
    {
      type: 'scatter',
      mode: 'lines+markers',
      name: `${telling.design.golfersOf(label)}: as observed`,
      x: path.map((point) => point?.x ?? null),
      y: path.map((point) => point?.y ?? null),
      hovertext: path.map((point) => (point === null ? '' : golferWords(point.golfer, telling))),
      marker: { color, size: 6, symbol: open },
      line: { color, width: 1.2 },
    },
    {
      type: 'scatter',
      mode: 'markers',
      name: `${telling.design.golfersOf(label)}: best guess`,
      x: guesses.map(({ x }) => x),
      y: guesses.map(({ y }) => y),
      hovertext: guesses.map(({ golfer }) => golferWords(golfer, telling)),
      marker: { color, size: 7, symbol },
      error_y: {
        type: 'data',
        symmetric: false,
        array: guesses.map(({ up }) => up),
        arrayminus: guesses.map(({ down }) => down),
        color,
        thickness: 2.2,
        width: 0,
      },
    },
  ];
}

function shapesOf(cells: readonly Cell[], scale: Scale, edge: number): Shape[] {
  return cells.flatMap(({ x, y }): Shape[] => {
    const band = { x0: x, x1: x + panelWidth, xref: 'x', yref: 'y', layer: 'below' } as const;
    const height = (value: number): number => y + inPanel(value, scale);
    const line = { color: colour.zoneEdge, width: 1 };
    const rule: Shape = { type: 'line', ...band, y0: height(0), y1: height(0), line };
    return edge === 0
      ? [rule]
      : [{ type: 'rect', ...band, y0: height(-edge), y1: height(edge), fillcolor: colour.zone }, rule];
  });
}

const nameSize = 12;
/** From one panel to the next on a screen of that form, less a gap, px. */
const nameWidth = { wide: 152, narrow: 68 };

/** The golfer's code with both means where there is room: `G07: 4.2 to 8.7°`. */
function panelName({ golfer, before, after }: GolferChange, unit: string, narrow: boolean): string {
  if (narrow) return fittingLabel(golfer, nameWidth.narrow, nameSize, 9);
  const means =
    before === null || after === null
      ? ''
      : `: ${formatNumber(before, 1)} to ${formatQuantity(after, unit, 1)}`;
  return `${fittingLabel(golfer, nameWidth.wide - textWidth(means, nameSize), nameSize, 12)}${means}`;
}

function layoutOf(
  cells: readonly Cell[],
  scale: Scale,
  edge: number,
  telling: Telling,
  narrow: boolean,
): FigureLayout {
  const { unit, design } = telling;
  const change = design.crossover ? 'From the mean after the control' : 'From the mean before';
  const feet = [...new Set(cells.map(({ y }) => y))];
  const { values, decimals } = niceTicks(scale.low, scale.high, 2);
  const lowest = Math.min(...feet);
  const names = cells.map(
    ({ golfer, part, x, y }): Annotation => ({
      text: panelName(golfer, unit, narrow),
      x,
      y: y + 1.03,
      xref: 'x',
      yref: 'y',
      showarrow: false,
      xanchor: 'left',
      yanchor: 'bottom',
      font: { size: nameSize, color: part.style.color, weight: 600 },
    }),
  );
  return {
    xaxis: {
      range: [-0.1, columns * panelStep - (panelStep - panelWidth) + 0.1],
      tickvals: [],
      ticktext: [],
      showgrid: false,
    },
    yaxis: {
      title: { text: `${change}${inUnit(unit)}` },
      range: [lowest - 0.08, 1.32],
      tickvals: feet.flatMap((foot) => values.map((value) => foot + inPanel(value, scale))),
      ticktext: feet.flatMap(() => values.map((value) => formatChange(value, decimals))),
      showgrid: false,
    },
    shapes: shapesOf(cells, scale, edge),
    annotations: names,
    height: Math.round(feet.length * rowHeight + (narrow ? 130 : 90)),
  };
}

function multiples(
  finding: Finding<DrillTrialTables>,
  parts: readonly GolferPart[],
  id: string,
  title: string,
): Figure {
  const { metric, smallestChange } = finding;
  const design = designWords(finding);
  const golfers = parts.flatMap((part) => part.golfers);
  const edge = Math.abs(smallestChange?.value ?? 0);
  const scale = scaleOf(golfers, edge);
  const cells = cellsOf(parts);
  const telling = { unit: metric.unit, decimals: golferDecimals(golfers), design };
  const later = golfers.some(({ retention }) => retention !== null);
  const rises = golfers.filter(({ change }) => change !== null && change > 0).length;
  return {
    id,
    title,
    caption: [
      `From left to right in each panel: ${design.before}, ${design.after}${later ? ', later' : ''}; all panels on one scale.`,
      `Open: means of full swings as observed, from the mean ${design.before} (the line across). Filled: the best guess ${design.after}, with its interval.`,
      zoneWords(smallestChange),
    ]
      .filter((part) => part !== '')
      .join(' '),
    description: `${formatCount(golfers.length, 'golfer')}, one panel each, ordered by change within each group. In ${rises} the mean ${design.after} is above that ${design.before}, in ${golfers.length - rises} it is not.`,
    data: parts.flatMap((part) => tracesOf(part, cells, scale, telling)),
    layout: layoutOf(cells, scale, edge, telling, false),
    narrow: layoutOf(cells, scale, edge, telling, true),
    table: golferTable(finding, golfers),
  };
}

/** Each golfer before and after in a small panel of his or her own, up to forty to a figure. */
export function multiplesFigures(finding: Finding<DrillTrialTables>): Figure[] {
  const pages = golferParts(finding);
  const title = designWords(finding).crossover ? 'Golfer by golfer' : 'Before and after, golfer by golfer';
  return pages.map((parts, k) =>
    pages.length === 1
      ? multiples(finding, parts, 'panels', title)
      : multiples(finding, parts, `panels-${k + 1}`, `${title}: ${parts[0]?.heading}`),
  );
}
