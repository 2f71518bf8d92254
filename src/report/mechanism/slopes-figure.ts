import type { MechanismTables } from '../../studies/index.ts';
import { linearAxis } from '../axis.ts';
import { shortLabel } from '../escape.ts';
import type { Figure, FigureLayout, Trace } from '../figure.ts';
import { decimalsFor, formatNumber, inUnit, unitSuffix } from '../numbers.ts';
import { colour } from '../palette.ts';
import { spanWords } from './words.ts';

/** More golfers than this are not all drawn: nobody can tell thousands of lines apart, and no browser holds them. */
const mostGolfers = 400;
const drawnOfMany = 100;

type GolferLine = MechanismTables['golfers'][number];

/** All golfers, or of very many some, evenly through the order of their usual predictor, the first and the last among them. */
function drawnGolfers(golfers: readonly GolferLine[]): readonly GolferLine[] {
  if (golfers.length <= mostGolfers) return golfers;
  const ordered = [...golfers].sort((a, b) => a.meanPredictor - b.meanPredictor);
  const step = (ordered.length - 1) / (drawnOfMany - 1);
  return Array.from({ length: drawnOfMany }, (_, k) => ordered[Math.round(k * step)]!);
}

/** Each golfer's own line and the line between golfers on one panel; null where there are no golfers. */
export function slopesFigure({ golfers, slopes, predictor, outcome }: MechanismTables): Figure | null {
  if (golfers.length === 0) return null;
  const drawn = drawnGolfers(golfers);
  const ends = drawn.map((golfer) => ({
    golfer,
    y0: golfer.meanOutcome + golfer.shrunken * (golfer.from - golfer.meanPredictor),
    y1: golfer.meanOutcome + golfer.shrunken * (golfer.to - golfer.meanPredictor),
  }));
  let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const { meanPredictor } of golfers) {
    low = Math.min(low, meanPredictor);
    high = Math.max(high, meanPredictor);
  }
  const centre = mean(golfers.map(({ meanPredictor }) => meanPredictor));
  const level = mean(golfers.map(({ meanOutcome }) => meanOutcome));
  const { between } = slopes;
  const across = (x: number) => level + (between?.value ?? 0) * (x - centre);
  const decimals = decimalsFor(Math.abs(slopes.within.value) / 5);
  const unit = `${outcome.unit} per ${predictor.unit}`;
  const layout = (narrow: boolean): FigureLayout => ({
    xaxis: linearAxis(
      drawn.flatMap(({ from, to }) => [from, to]),
      { title: `${predictor.label}${inUnit(predictor.unit)}`, ticks: narrow ? 4 : 7 },
    ),
    yaxis: linearAxis([...ends.flatMap(({ y0, y1 }) => [y0, y1]), across(low), across(high)], {
      title: `${outcome.label}${inUnit(outcome.unit)}`,
    }),
    height: narrow ? 400 : 440,
    showlegend: true,
  });
  const data: Trace[] = [
    {
      type: 'scatter',
      mode: 'lines',
      name: 'inside each golfer',
      x: ends.flatMap(({ golfer }) => [golfer.from, golfer.to, null]),
      y: ends.flatMap(({ y0, y1 }) => [y0, y1, null]),
      line: { color: colour.drill, width: 2 },
      opacity: 0.75,
    },
    {
      type: 'scatter',
      mode: 'markers',
      name: 'a golfer’s usual',
      x: drawn.map(({ meanPredictor }) => meanPredictor),
      y: drawn.map(({ meanOutcome }) => meanOutcome),
      hovertext: drawn.map(
        ({ golfer, swings, own, shrunken }) =>
          `${shortLabel(golfer, 40)}, ${swings} swings\nown slope ${formatNumber(own, decimals)}, drawn ${formatNumber(shrunken, decimals)}${unitSuffix(unit)}`,
      ),
      marker: { color: colour.ink, size: 6, symbol: 'circle' },
    },
    ...(between === null
      ? []
      : [
          {
            type: 'scatter' as const,
            mode: 'lines' as const,
            name: 'between golfers',
            x: [low, high],
            y: [across(low), across(high)],
            line: { color: colour.control, width: 4, dash: 'dash' as const },
          },
        ]),
  ];
  const inside = `Inside golfers ${spanWords(slopes.within, decimals)}${unitSuffix(unit)}`;
  const outside =
    between === null
      ? 'no slope between golfers'
      : `between golfers ${spanWords(between, decimals)}${unitSuffix(unit)}`;
  const some =
    drawn.length < golfers.length
      ? ` Drawn are ${drawn.length} of ${golfers.length} golfers, evenly through the order of their usual ${predictor.label}; all are in slopes.csv.`
      : '';
  return {
    id: 'slopes',
    title: 'Inside golfers and between golfers',
    caption: `${inside}; ${outside}, both as measured. Each short line is one golfer’s own, over the span of his or her swings, pulled towards the mean line by how noisy it is; the dashed line compares golfers with each other. Only the short lines say what goes together in one golfer.${some}`,
    description: `${golfers.length} golfers. ${inside}; ${outside}.`,
    data,
    layout: layout(false),
    narrow: layout(true),
    table: {
      columns: [
        { key: 'golfer', label: 'golfer' },
        { key: 'swings', label: 'swings' },
        { key: 'meanPredictor', label: `usual ${predictor.label}`, unit: predictor.unit },
        { key: 'meanOutcome', label: `usual ${outcome.label}`, unit: outcome.unit },
        { key: 'own', label: 'own slope', unit },
        { key: 'shrunken', label: 'slope drawn', unit },
        { key: 'from', label: 'from', unit: predictor.unit },
        { key: 'to', label: 'to', unit: predictor.unit },
      ],
      rows: golfers.map((golfer) => ({ ...golfer })),
    },
  };
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
