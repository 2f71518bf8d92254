import type { AngleTables, Finding } from '../../studies/index.ts';
import { linearAxis } from '../axis.ts';
import { curveFigure } from '../curve-figure.ts';
import type { Axis, Figure, FigureLayout } from '../figure.ts';
import { formatChange, formatNumber, formatQuantity } from '../numbers.ts';
import { colour } from '../palette.ts';
import { smallestWords } from '../verdict-words.ts';
import { zoneShapes } from '../zone.ts';
import { angleWords, differenceTable, seriesTable } from './tables.ts';

const LOOKS = [
  { color: colour.drill, symbol: 'circle' },
  { color: colour.control, symbol: 'square' },
  { color: colour.third, symbol: 'diamond' },
] as const;
/** Rows to each side of the one worked through that the curves show. */
const AROUND = 60;

/** Worked out minus published, row by row, against the tolerance; null where nothing was published. */
export function differenceFigure(finding: Finding<AngleTables>): Figure | null {
  const { differences } = finding.tables;
  if (differences.length === 0) return null;
  const angles = [...new Set(differences.map(({ angle }) => angle))];
  const edge = Math.abs(finding.smallestChange?.value ?? 0);
  const allowed = finding.smallestChange === null ? '' : smallestWords(finding.smallestChange);
  const most = differences.reduce((size, { difference }) => Math.max(size, Math.abs(difference)), 0);
  const rowAxis = (narrow: boolean) =>
    linearAxis(
      differences.map(({ row }) => row),
      { title: 'Row of the table of points', ticks: narrow ? 4 : 7 },
    );
  const layout = (narrow: boolean): FigureLayout => ({
    xaxis: { ...wholeTicks(rowAxis(narrow)), showgrid: false },
    yaxis: {
      ...linearAxis([-1.4 * edge, 1.4 * edge, ...differences.map(({ difference }) => difference)], {
        title: 'Worked out minus published (°)',
        format: formatChange,
      }),
      zeroline: true,
    },
    shapes: zoneShapes(finding.smallestChange, 'y'),
    height: narrow ? 320 : 340,
    showlegend: angles.length > 1,
  });
  const small =
    most < 5e-4 ? `${most.toExponential(1).replaceAll('-', '\u2212')}°` : formatQuantity(most, 'deg', 3);
  return {
    id: 'differences',
    title: 'Worked out against published',
    caption: `Each published angle against the one these points give. Shaded: the ${allowed} allowed. The largest difference is ${small}.`,
    description: `${differences.length} differences, the largest ${small}; ${allowed} allowed.`,
    data: angles.map((angle, k) => {
      const own = differences.filter((one) => one.angle === angle);
      const look = LOOKS[k % LOOKS.length]!;
      return {
        type: 'scatter',
        mode: 'markers',
        name: angleWords(angle),
        x: own.map(({ row }) => row),
        y: own.map(({ difference }) => difference),
        hovertext: own.map(
          ({ row, published, worked }) =>
            `row ${row}, ${angleWords(angle)}\npublished ${formatQuantity(published, 'deg', 4)}\nworked out ${formatQuantity(worked, 'deg', 4)}`,
        ),
        marker: { ...look, size: own.length > 60 ? 5 : 9 },
      };
    }),
    layout: layout(false),
    narrow: layout(true),
    table: differenceTable(finding),
  };
}

/** Rows are whole numbers, and so are their ticks. */
function wholeTicks(axis: Axis): Axis {
  const tickvals = axis.tickvals.filter(Number.isInteger);
  return { ...axis, tickvals, ticktext: tickvals.map((value) => formatNumber(value, 0)) };
}

const DRAWN = {
  isb_flexion_deg: 'ISB flexion',
  three_point_ulnar_deg: 'three points',
  three_point_wrist_deg: 'three points, mid wrist',
  seen_along_z_deg: 'flat picture along z',
} as const;

/** One elbow under several definitions, about the row worked through; null without rivals or with few rows. */
export function definitionsFigure(finding: Finding<AngleTables>): Figure | null {
  const { series, row, definitions } = finding.tables;
  const near = series.filter((entry) => Math.abs((entry.row ?? 0) - row) <= AROUND);
  if (definitions.length === 0 || near.length < 3) return null;
  const curves = Object.entries(DRAWN).map(([key, name]) => ({
    name,
    y: near.map((entry) => entry[key] ?? null),
  }));
  const spans = curves.map(({ name, y }) => {
    const there = y.filter((value) => value !== null);
    return `${name}: ${formatNumber(Math.min(...there), 1)} to ${formatQuantity(Math.max(...there), 'deg')}`;
  });
  return curveFigure({
    id: 'definitions',
    title: 'One elbow under four definitions',
    caption:
      'The same points under each definition, about the row worked through. Where curves part, a number without its definition means nothing.',
    description: `${spans.join('. ')}.`,
    x: { label: 'row of the table of points', unit: '', values: near.map((entry) => entry.row ?? 0) },
    y: { label: 'flexion', unit: 'deg' },
    curves,
    marks: [{ x: row, label: 'worked through' }],
    table: { ...seriesTable(finding), rows: near },
  });
}
