import type { AngleTables } from '../angle-tables.ts';
import type { FindingEstimate } from '../finding.ts';
import { count } from '../shared/words.ts';
import { type DifferenceSummary, summarise } from './differences.ts';

export function differenceEstimates(
  summary: DifferenceSummary | null,
  differences: AngleTables['differences'],
  names: readonly string[],
): FindingEstimate[] {
  if (summary === null) return [];
  const base = { level: 0.95, unit: 'deg', degreesOfFreedom: null } as const;
  return [
    {
      ...base,
      key: 'largest-difference',
      name: 'largest difference, worked out against published',
      value: Math.abs(summary.largest.difference),
      interval: summary.largestInterval,
      unsigned: true,
      meaning: `In row ${summary.largest.row}, ${summary.largest.angle.replace('_deg', '')}. Same points and same arithmetic leave nothing to chance, so without marker noise the interval is the number itself.`,
    },
    ...names.flatMap((angle): FindingEstimate[] => {
      const own = differences.filter((one) => one.angle === angle);
      if (own.length === 0) return [];
      const { rootMeanSquare, mean, meanInterval, rows } = summarise(own);
      const name = angle.replace('_deg', '');
      return [
        {
          ...base,
          key: `root-mean-square-${name}`,
          name: `root mean square difference of ${name}`,
          value: rootMeanSquare,
          interval: [null, null],
          unsigned: true,
          meaning: `Over ${count(rows, 'row')}: the usual size of a difference.`,
        },
        {
          ...base,
          key: `mean-difference-${name}`,
          name: `mean difference of ${name}, worked out minus published`,
          value: mean,
          interval: meanInterval ?? [null, null],
          degreesOfFreedom: meanInterval === null ? null : rows - 1,
          meaning:
            'A difference that is always there: another point, frame or sign. The interval takes rows as independent, which rows of one movement are not.',
        },
      ];
    }),
  ];
}
