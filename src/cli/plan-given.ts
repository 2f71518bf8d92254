import { basename } from 'node:path';
import { type LockedPlan, loadPlan } from '../dataset/index.ts';
import type { StudyOptions } from '../studies/index.ts';
import type { Fault } from './result.ts';

export type GivenPlan =
  | {
      readonly options: Pick<StudyOptions, 'plan' | 'planFile'>;
      /** What the plan was locked with, where it was. */
      readonly locked?: LockedPlan;
    }
  | { readonly faults: readonly Fault[] };

/** The fewest hexadecimal digits of a seal that tell it from another. */
const ENOUGH_OF_A_SEAL = 16;

/** The plan named with --plan, and whether it carries the seal named with --seal. */
export async function planGiven(path: string | undefined, seal: string | undefined): Promise<GivenPlan> {
  if (path === undefined)
    return seal === undefined
      ? { options: {} }
      : {
          faults: [
            {
              where: '--seal',
              found: 'a seal without a plan',
              expected: 'the locked plan it belongs to',
              remedy: 'name the locked plan with --plan',
            },
          ],
        };
  const loaded = await loadPlan(path);
  if (!loaded.valid)
    return {
      faults: loaded.problems.map((problem) => ({
        ...problem,
        where: `--plan ${path} ${problem.where}`.trim(),
      })),
    };
  const { plan, locked } = loaded;
  const fault = seal === undefined ? null : sealFault(seal, locked);
  if (fault !== null) return { faults: [fault] };
  return {
    options: { plan, planFile: { file: basename(path), sha256: loaded.sha256 ?? '' } },
    ...(locked === undefined ? {} : { locked }),
  };
}

function sealFault(given: string, locked: LockedPlan | undefined): Fault | null {
  const seal = given.trim().toLowerCase();
  const where = '--seal';
  if (!/^[0-9a-f]*$/.test(seal) || seal.length < ENOUGH_OF_A_SEAL || seal.length > 64)
    return {
      where,
      found: `"${given}"`,
      expected: `a seal, or at least its first ${ENOUGH_OF_A_SEAL} characters: 0 to 9 and a to f`,
      remedy: 'copy it as it was told when the plan was locked',
    };
  if (locked === undefined)
    return {
      where: '--plan',
      found: 'a plan that is not locked',
      expected: 'a plan with a seal',
      remedy: 'give the file that lock wrote',
    };
  if (locked.seal.startsWith(seal)) return null;
  return {
    where,
    found: `a plan with another seal, ${locked.seal.slice(0, ENOUGH_OF_A_SEAL)}...`,
    expected: `the seal ${seal}`,
    remedy:
      'find the file that was locked with this seal; the one given was made, or made again, at another time',
  };
}
