import type { MechanismTables, MechanismWay } from '../../studies/index.ts';
import { linearAxis } from '../axis.ts';
import { shortLabel } from '../escape.ts';
import type { Annotation, Figure, FigureLayout, Trace } from '../figure.ts';
import { formatChange, inUnit, unitSuffix } from '../numbers.ts';
import { colour } from '../palette.ts';
import { wrapText } from '../text-width.ts';
import { verdictShort } from '../verdict-words.ts';
import { spanWords, stepDecimals } from './words.ts';

const NARROW_NAMES = 300;
const WIDE_NAMES = 460;
/** How far the line of no change reaches above and below a row, in rows: short of the names above this row and below the next. */
const BESIDE = 0.14;

/** The answer under every choice that was tried, on one scale, in the order of the estimates; null where none was. */
export function waysFigure({ ways, predictor, outcome }: MechanismTables): Figure | null {
  const known = ways.filter((way): way is Known => way.perSd !== null);
  if (known.length < 2) return null;
  const sorted = [...known].sort((a, b) => a.perSd.value - b.perSd.value);
  const asked = known[0]!;
  const at = (way: Known) => sorted.indexOf(way);
  const part = (main: boolean) => sorted.filter((way) => (way === asked) === main);
  const layout = (narrow: boolean): FigureLayout => ({
    xaxis: {
      ...linearAxis([0, ...sorted.flatMap(({ perSd }) => [perSd.value, ...(perSd.interval ?? [])])], {
        title: `${outcome.label} with one SD earlier${inUnit(outcome.unit)}`,
        ticks: narrow ? 4 : 7,
        format: formatChange,
      }),
      // Names and values stand above their rows, over the whole width: lines would run through them.
      showgrid: false,
    },
    yaxis: { range: [-0.7, sorted.length - 0.2], tickvals: [], ticktext: [], showgrid: false },
    annotations: sorted.flatMap((way) => labels(way, at(way), way === asked, narrow)),
    height: sorted.length * (narrow ? 72 : 46) + 80,
    showlegend: false,
  });
  const unit = unitSuffix(outcome.unit);
  return {
    id: 'ways',
    title: 'The same question, asked in other ways',
    caption: `Change of ${outcome.label} when ${predictor.label} (or what stands for it) is one SD, of the swings of one golfer, further towards early straightening. Every way that was tried is here, the one asked for as a diamond. If the answer turned on one of these choices, it would be the choice’s answer.`,
    description: sorted
      .map(
        (way) =>
          `${way.name}: ${spanWords(way.perSd, stepDecimals(way.perSd))}${unit}, ${verdictShort(way.verdict).toLowerCase()}`,
      )
      .join('. ')
      .concat('.'),
    data: [
      noChange(sorted.length),
      ...[false, true].map((main): Trace => {
        const rows = part(main);
        const hue = main ? colour.drill : colour.soft;
        return {
          type: 'scatter',
          mode: 'markers',
          name: main ? 'as asked' : 'asked in other ways',
          x: rows.map(({ perSd }) => perSd.value),
          y: rows.map(at),
          hovertext: rows.map(
            ({ name, perSd, verdict, golfers, swings }) =>
              `${shortLabel(name, 60)}\n${spanWords(perSd, stepDecimals(perSd))}${unit}\n${verdictShort(verdict)}; ${golfers} golfers, ${swings} swings`,
          ),
          marker: { color: hue, size: main ? 13 : 8, symbol: main ? 'diamond' : 'circle' },
          error_x: {
            type: 'data',
            symmetric: false,
            array: rows.map(({ perSd }) => (perSd.interval === null ? 0 : perSd.interval[1] - perSd.value)),
            arrayminus: rows.map(({ perSd }) =>
              perSd.interval === null ? 0 : perSd.value - perSd.interval[0],
            ),
            color: hue,
            thickness: main ? 4 : 2,
            width: 0,
          },
          showlegend: false,
        };
      }),
    ],
    layout: layout(false),
    narrow: layout(true),
    table: {
      columns: [
        { key: 'name', label: 'way of asking' },
        { key: 'perSd', label: 'for one SD', unit: outcome.unit },
        { key: 'low', label: 'low', unit: outcome.unit },
        { key: 'high', label: 'high', unit: outcome.unit },
        { key: 'perStep', label: 'for 10 units' },
        { key: 'unit', label: 'unit of that' },
        { key: 'verdict', label: 'verdict' },
        { key: 'golfers', label: 'golfers' },
        { key: 'swings', label: 'swings' },
      ],
      rows: ways.map(({ name, perSd, perStep, unit: own, verdict, golfers, swings }) => ({
        name,
        perSd: perSd?.value ?? null,
        low: perSd?.interval?.[0] ?? null,
        high: perSd?.interval?.[1] ?? null,
        perStep: perStep?.value ?? null,
        unit: own,
        verdict: verdictShort(verdict),
        golfers,
        swings,
      })),
    },
  };
}

type Known = MechanismWay & { readonly perSd: NonNullable<MechanismWay['perSd']> };

/** The line of no change, left open where names stand. */
function noChange(rows: number): Trace {
  const y = Array.from({ length: rows }, (_, row) => [row - BESIDE, row + BESIDE, null]).flat();
  return {
    type: 'scatter',
    mode: 'lines',
    name: 'no change',
    x: y.map((end) => (end === null ? null : 0)),
    y,
    line: { color: colour.soft, width: 1.5 },
    showlegend: false,
  };
}

function labels({ name, perSd }: Known, y: number, main: boolean, narrow: boolean): Annotation[] {
  const size = narrow ? 11.5 : 12.5;
  const font = { size, color: main ? colour.ink : colour.soft, weight: main ? 600 : 400 } as const;
  const shared = {
    y,
    xref: 'paper',
    yref: 'y',
    showarrow: false,
    yanchor: 'bottom',
    yshift: 8,
    font,
  } as const;
  const value = spanWords(perSd, stepDecimals(perSd));
  const text = wrapText(shortLabel(name, 90), narrow ? NARROW_NAMES : WIDE_NAMES, size);
  return narrow
    ? [{ ...shared, text: `${text}\n${value}`, x: 0, xanchor: 'left' }]
    : [
        { ...shared, text, x: 0, xanchor: 'left' },
        { ...shared, text: value, x: 1, xanchor: 'right' },
      ];
}
