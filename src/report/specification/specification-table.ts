import type { SpecificationCurve } from '../../studies/index.ts';
import type { FigureTable } from '../figure.ts';
import { verdictShort } from '../verdict-words.ts';

/** Every combination in a row: what was chosen, what it gave in its own unit and on the common scale, or why nothing. */
export function specificationTable(curve: SpecificationCurve): FigureTable {
  const oneUnit = curve.scale.kind === 'unit';
  return {
    columns: [
      ...curve.choices.map(({ key, words }) => ({ key: `choice ${key}`, label: words })),
      { key: 'value', label: 'estimate', unit: oneUnit ? curve.scale.unit : '' },
      { key: 'low', label: 'low', unit: oneUnit ? curve.scale.unit : '' },
      { key: 'high', label: 'high', unit: oneUnit ? curve.scale.unit : '' },
      ...(oneUnit
        ? []
        : [
            { key: 'scaled', label: 'times the smallest change' },
            { key: 'unit', label: 'unit of the estimate' },
          ]),
      { key: 'verdict', label: 'verdict' },
      { key: 'why', label: 'why no estimate' },
    ],
    rows: curve.rows.map((row) => ({
      ...Object.fromEntries(
        curve.choices.map(({ key, options }) => [
          `choice ${key}`,
          options.find((option) => option.key === row.chosen[key])?.words ?? '',
        ]),
      ),
      value: row.raw?.value ?? null,
      low: row.raw?.interval[0] ?? null,
      high: row.raw?.interval[1] ?? null,
      ...(oneUnit ? {} : { scaled: row.value, unit: row.raw?.unit ?? '' }),
      verdict: row.verdict === null ? '' : `${verdictShort(row.verdict)}${row.asAsked ? ' (as asked)' : ''}`,
      why: row.why ?? '',
    })),
  };
}
