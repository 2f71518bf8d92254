import type { Finding, SpecificationRow, Verdict } from '../../studies/index.ts';
import type { Figure, PointSymbol, Trace } from '../figure.ts';
import { decimalsFor, formatNumber, unitSuffix } from '../numbers.ts';
import { colour } from '../palette.ts';
import { verdictShort } from '../verdict-words.ts';
import { type Line, layoutOf, linesOf, scaleWords } from './specification-layout.ts';
import { specificationTable } from './specification-table.ts';

/** How a verdict is drawn: by shape and colour both. */
const looks: Readonly<Record<Verdict, { readonly color: string; readonly symbol: PointSymbol }>> = {
  meaningful: { color: colour.drill, symbol: 'circle' },
  'too-small-to-matter': { color: colour.zoneEdge, symbol: 'square' },
  opposite: { color: colour.control, symbol: 'triangle-up' },
  'cannot-tell': { color: colour.soft, symbol: 'circle-open' },
};

function estimateTrace(
  finding: Finding,
  rows: readonly SpecificationRow[],
  verdict: Verdict,
  unit: string,
  decimals: number,
): Trace {
  const own = rows.flatMap((row, rank) => (row.verdict === verdict ? [{ row, rank }] : []));
  const half = (row: SpecificationRow, end: 0 | 1) => {
    const bound = row.interval[end];
    return bound === null ? 0 : Math.abs(bound - row.value!);
  };
  const { color, symbol } = looks[verdict];
  return {
    type: 'scatter',
    mode: 'markers',
    name: verdictShort(verdict),
    x: own.map(({ rank }) => rank),
    y: own.map(({ row }) => row.value),
    hovertext: own.map(({ row }) =>
      [
        ...finding.specifications!.choices.map(
          ({ key, options }) => options.find((option) => option.key === row.chosen[key])?.words ?? '',
        ),
        `${formatNumber(row.value!, decimals)}${unit} (${row.interval.map((end) => (end === null ? '–' : formatNumber(end, decimals))).join(' to ')})`,
      ].join('\n'),
    ),
    marker: { color, size: 7, symbol },
    error_y: {
      type: 'data',
      symmetric: false,
      array: own.map(({ row }) => half(row, 1)),
      arrayminus: own.map(({ row }) => half(row, 0)),
      color,
      thickness: 1.5,
      width: 0,
    },
    showlegend: true,
  };
}

function choiceTrace(rows: readonly SpecificationRow[], lines: readonly Line[], asAsked: boolean): Trace {
  const marks = rows.flatMap((row, rank) =>
    row.asAsked !== asAsked
      ? []
      : lines.filter((line) => row.chosen[line.choice] === line.option).map(({ slot }) => ({ rank, slot })),
  );
  return {
    type: 'scatter',
    mode: 'markers',
    name: asAsked ? 'as it was asked' : 'chosen',
    x: marks.map(({ rank }) => rank),
    y: marks.map(({ slot }) => slot),
    marker: asAsked
      ? { color: colour.control, size: 9, symbol: 'diamond' }
      : { color: colour.ink, size: 5, symbol: 'square' },
    yaxis: 'y2',
    showlegend: false,
  };
}

/** All estimates in order, over the choices that each was made with; null where there are fewer than two. */
export function specificationFigure(finding: Finding): Figure | null {
  const curve = finding.specifications;
  const rows = curve?.rows.filter((row) => row.value !== null) ?? [];
  if (curve === undefined || rows.length < 2) return null;
  const values = rows.map((row) => row.value!);
  const [low, high] = [Math.min(...values), Math.max(...values)];
  const decimals = decimalsFor((high - low) / 10 || 1);
  const unit = curve.scale.kind === 'unit' ? unitSuffix(curve.scale.unit) : '';
  const { lines } = linesOf(curve);
  const verdicts = [...new Set(rows.flatMap((row) => (row.verdict === null ? [] : [row.verdict])))];
  return {
    id: 'specifications',
    title: 'The answer under every combination of choices',
    caption: `Above: one estimate with its interval for each combination, in order of size (${scaleWords(curve).toLowerCase()}). Below: what was chosen in each; the diamonds are the question as it was asked. Shaded: too small to matter.`,
    description: curve.words,
    data: [
      ...verdicts.map((verdict) => estimateTrace(finding, rows, verdict, unit, decimals)),
      choiceTrace(rows, lines, false),
      choiceTrace(rows, lines, true),
    ],
    layout: layoutOf(finding, curve, rows, false),
    narrow: layoutOf(finding, curve, rows, true),
    table: specificationTable(curve),
  };
}
