import type { Plan } from '../../../dataset/index.ts';
import type { StudyProblem } from '../../study.ts';

export type ChosenGolfers =
  | { readonly ok: true; readonly golfers: readonly string[] }
  | { readonly ok: false; readonly problems: readonly StudyProblem[] };

/**
 * Who is asked about: the golfers named, else the plan's, else the only one there is. Where there are several and none is
 * named, the problem lists them.
 *
 * @param measured golfers with a full swing that has a value, in the order of golfers.csv
 */
export function chooseGolfers(
  asked: readonly string[] | undefined,
  plan: Plan | null,
  listed: readonly string[],
  measured: readonly string[],
): ChosenGolfers {
  const named = asked ?? plan?.series?.golfers;
  const one = measured[0];
  if (named === undefined || named.length === 0) {
    if (measured.length === 1 && one !== undefined) return { ok: true, golfers: [one] };
    return refuse(
      measured.length === 0 ? 'no golfer with a full swing that has a value' : 'no golfer named',
      measured.length === 0
        ? 'a golfer with full swings that have a value of this metric, in sessions before and after'
        : `one golfer, or those of one multiple baseline, of: ${measured.join(', ')}`,
      measured.length === 0
        ? 'Fill in the metric, or name another one with --metric.'
        : 'Name the golfer with --golfer, or several with commas between them.',
    );
  }
  const golfers = [...new Set(named)];
  const unknown = golfers.filter((golfer) => !listed.includes(golfer));
  if (unknown.length > 0)
    return refuse(
      `${unknown.map((golfer) => `'${golfer}'`).join(', ')}`,
      `golfers of golfers.csv: ${listed.join(', ')}`,
      'Write the golfer as in golfers.csv, letter for letter.',
    );
  const empty = golfers.filter((golfer) => !measured.includes(golfer));
  if (empty.length > 0)
    return refuse(
      `no full swing with a value of ${empty.join(', ')}`,
      measured.length === 0 ? 'at least one' : `one of the golfers who have: ${measured.join(', ')}`,
      'Name another golfer or another metric, or fill in the values.',
    );
  return { ok: true, golfers };
}

function refuse(found: string, expected: string, remedy: string): ChosenGolfers {
  return { ok: false, problems: [{ where: 'the golfer', found, expected, remedy }] };
}
