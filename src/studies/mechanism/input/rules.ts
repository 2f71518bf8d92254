import { robustDistances } from '../../../stats/index.ts';
import type { SwingRule } from './choice.ts';
import { isSummed, type Swings } from './summed-swings.ts';
import type { MechanismSwing } from './swings.ts';

/** Robust SDs from the golfer's own median beyond which a swing is an outlier (Iglewicz and Hoaglin 1993). */
const FAR = 3.5;

/** The swings that count under a rule. */
export function swingsUnder(rule: SwingRule, swings: Swings, columns: readonly string[]): Swings {
  if (isSummed(swings)) return { ...swings, rule };
  if (rule === 'all') return swings;
  if (rule === 'baseline-only') return swings.filter(({ phase }) => phase === 'baseline');
  if (rule === 'not-the-first-two') return swings.filter(({ order }) => order === null || order > 2);
  const far = new Set<MechanismSwing>();
  const byGolfer = new Map<string, MechanismSwing[]>();
  for (const swing of swings) {
    const own = byGolfer.get(swing.golfer);
    if (own === undefined) byGolfer.set(swing.golfer, [swing]);
    else own.push(swing);
  }
  for (const own of byGolfer.values())
    for (const column of columns) {
      const known = own.filter(({ values }) => values[column] !== null);
      const distances = robustDistances(known.map(({ values }) => values[column]!));
      known.forEach((swing, i) => {
        if (Math.abs(distances?.[i] ?? 0) > FAR) far.add(swing);
      });
    }
  return swings.filter((swing) => !far.has(swing));
}
