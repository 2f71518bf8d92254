import type { ElbowComparison } from '../../kinematics/index.ts';
import type { Sensitivity } from '../finding.ts';
import { degrees } from './answer-words.ts';
import { turnBetween } from './differences.ts';
import type { PublishedAngles } from './published.ts';

/** Published flexion against each other definition of the same points: it says which one was published. */
export function underOtherDefinitions(
  others: ElbowComparison | null,
  published: PublishedAngles | undefined,
  tolerance: number,
): Sensitivity[] {
  const flexion = published?.values.filter(({ angle }) => angle === 'flexion_deg') ?? [];
  if (others === null || flexion.length === 0) return [];
  return others.definitions.flatMap(({ column, label, equation }) => {
    const differences = flexion.flatMap(({ row, value }) => {
      const worked = others.rows[row - 1]?.[column] ?? null;
      return worked === null ? [] : [turnBetween(worked, value)];
    });
    if (differences.length === 0) return [];
    const largest = Math.max(...differences.map(Math.abs));
    const fits = largest <= tolerance;
    return [
      {
        name: label,
        what: `Published flexion against ${equation}.`,
        estimate: {
          name: label,
          value: largest,
          interval: [largest, largest] as const,
          level: 0.95,
          unit: 'deg',
          degreesOfFreedom: null,
          unsigned: true as const,
          meaning: 'The largest difference over the published rows.',
        },
        verdict: fits ? ('too-small-to-matter' as const) : ('meaningful' as const),
        words: fits
          ? 'This definition gives the published numbers.'
          : `This definition does not give the published numbers: the largest difference is ${degrees(largest)}.`,
      },
    ];
  });
}
