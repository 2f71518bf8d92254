import type { RandomTerm } from '../contract.ts';
import type { KeptData } from '../design/fixed-columns.ts';
import { predictorRow, type Setting } from './predictor-row.ts';

/** The columns of one random term at one setting, in the order of its effects. */
export function effectColumnsAt(
  caller: string,
  term: RandomTerm<Record<string, unknown>>,
  kept: KeptData,
  setting: Setting,
): Float64Array {
  return Float64Array.from(
    term.effects.flatMap((effect): number[] => {
      if (typeof effect === 'object' && 'level' in effect) {
        const found = setting[effect.column];
        if (found === undefined) throw new Error(`${caller}: ${effect.column} needs a level; found none`);
        return [String(found) === effect.level ? 1 : 0];
      }
      const fixed = effect === 'intercept' || typeof effect === 'object' ? effect : { column: effect };
      return Array.from(predictorRow(caller, { outcome: '', fixed: [fixed] }, kept, setting));
    }),
  );
}
