import type { AngleStepRow, AngleTables, Finding } from '../../studies/index.ts';
import type { FigureTable } from '../figure.ts';
import { formatNumber } from '../numbers.ts';

/** The numbers under the figures, and in the files: each table once, for both. */

/** `flexion` from `flexion_deg`, words apart. */
export const angleWords = (column: string): string => column.replace(/_deg$/, '').replaceAll('_', ' ');

export function differenceTable({ tables }: Finding<AngleTables>): FigureTable {
  return {
    columns: [
      { key: 'row', label: 'row' },
      { key: 'angle', label: 'angle' },
      { key: 'published', label: 'published', unit: 'deg' },
      { key: 'worked', label: 'worked out', unit: 'deg' },
      { key: 'difference', label: 'difference', unit: 'deg' },
      { key: 'noiseSd', label: 'SD from marker noise', unit: 'deg' },
      { key: 'everyDigit', label: 'every printed digit' },
    ],
    rows: tables.differences.map(({ everyDigit, angle, ...row }) => ({
      ...row,
      angle: angleWords(angle),
      everyDigit: everyDigit ? 'yes' : 'no',
    })),
  };
}

export function stepTable(steps: readonly AngleStepRow[]): FigureTable {
  return {
    columns: [
      { key: 'symbol', label: 'step' },
      { key: 'name', label: 'what' },
      { key: 'equation', label: 'equation' },
      { key: 'numbers', label: 'with the numbers' },
      { key: 'value', label: 'value' },
      { key: 'unit', label: 'unit' },
      { key: 'source', label: 'source' },
    ],
    rows: steps.map(({ equation, unit, ...row }) => ({
      ...row,
      equation: equation === '' ? 'as measured' : equation,
      unit: unit === 'none' ? '' : unit,
    })),
  };
}

/** The steps as a page shows them: three columns; their source belongs in the caption. */
export function shownSteps(steps: readonly AngleStepRow[]): FigureTable {
  return {
    columns: [
      { key: 'step', label: 'step' },
      { key: 'equation', label: 'equation' },
      { key: 'value', label: 'value' },
    ],
    rows: steps.map(({ symbol, name, equation, numbers, value, unit }) => ({
      step: symbol === name ? name : `${symbol}: ${name}`,
      equation: equation === '' ? 'as measured' : numbers === '' ? equation : `${equation} = ${numbers}`,
      value: `${rounded(value, unit === 'deg' ? 4 : 6)}${unit === 'deg' ? ' deg' : ''}`,
    })),
  };
}

/** Every number of a text with so many decimals. */
function rounded(text: string, decimals: number): string {
  return text.replaceAll(/-?\d+(?:\.\d+)?(?:e-?\d+)?/g, (number) => formatNumber(Number(number), decimals));
}

/** What each marker adds to each angle, its three coordinates together. */
export function markerTable({ tables }: Finding<AngleTables>): FigureTable {
  const entries = tables.budget?.entries ?? [];
  const pairs = [...new Set(entries.map(({ angle, marker }) => JSON.stringify([angle, marker])))];
  return {
    columns: [
      { key: 'angle', label: 'angle' },
      { key: 'marker', label: 'marker' },
      { key: 'sd', label: 'SD it adds', unit: 'deg' },
      { key: 'share', label: 'share of the variance', unit: '%' },
    ],
    rows: pairs.map((pair) => {
      const [angle, marker] = JSON.parse(pair) as [string, string];
      const own = entries.filter((entry) => entry.angle === angle && entry.marker === marker);
      const share = own.reduce((sum, entry) => sum + entry.share, 0);
      return { angle, marker, sd: Math.hypot(...own.map(({ sd }) => sd)), share: 100 * share };
    }),
  };
}

export function budgetTable({ tables }: Finding<AngleTables>): FigureTable {
  return {
    columns: [
      { key: 'angle', label: 'angle' },
      { key: 'marker', label: 'marker' },
      { key: 'axis', label: 'axis' },
      { key: 'degreesPerMm', label: 'moves by', unit: 'deg per mm' },
      { key: 'sd', label: 'SD it adds', unit: 'deg' },
      { key: 'share', label: 'share of the variance' },
    ],
    rows: (tables.budget?.entries ?? []).map((row) => ({ ...row })),
  };
}

export function definitionTable({ tables }: Finding<AngleTables>): FigureTable {
  return {
    columns: [
      { key: 'definition', label: 'definition' },
      { key: 'equation', label: 'equation' },
      { key: 'meanDifference', label: 'mean difference', unit: 'deg' },
      { key: 'sdDifference', label: 'SD', unit: 'deg' },
      { key: 'largestDifference', label: 'largest', unit: 'deg' },
      { key: 'inRow', label: 'in row' },
    ],
    rows: tables.definitions.map(({ why, ...row }) => ({ ...row })),
  };
}

export function seriesTable({ tables }: Finding<AngleTables>): FigureTable {
  const keys = Object.keys(tables.series[0] ?? {});
  return {
    columns: keys.map((key) =>
      key === 'row' ? { key, label: 'row' } : { key, label: angleWords(key), unit: 'deg' },
    ),
    rows: tables.series,
  };
}
