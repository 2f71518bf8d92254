import type { Finding } from '../../finding.ts';
import { capitalised, count, list } from '../../shared/words.ts';
import type { MainAnalysis } from '../analysis/main-analysis.ts';
import { comparedArms, type Design, roleOf } from '../input/design.ts';
import { designName } from '../input/design-problems.ts';
import type { SwingGroup } from '../input/trial-data.ts';
import { controlWords } from './arm-words.ts';

/** The design in words, with what entered the main comparison counted over all and by arm. */
export function describeDesign(
  design: Design,
  rows: readonly SwingGroup[],
  main: MainAnalysis,
  planned: string | undefined,
): Finding['design'] {
  const used = rows.filter((row) => main.used.has(row));
  const arms = [...design.drills, ...(design.control === null ? [] : [design.control])].map((arm) => ({
    arm,
    role: roleOf(design, arm),
    ...counts(used.filter((row) => row.arm === arm)),
  }));
  const total = counts(used);
  const source =
    planned === undefined || planned === 'infer' ? 'recognised from the assignments' : 'as planned';
  const groups = arms.map(({ arm, golfers }) => `${count(golfers, 'golfer')} in '${arm}'`);
  const compared = comparedArms(design).length;
  const against =
    design.control === null
      ? ''
      : `, ${compared > 1 ? 'each ' : ''}compared with ${controlWords(design.control)}`;
  const people =
    design.kind === 'crossover'
      ? `${count(total.golfers, 'golfer')} who did the drill and ${controlWords(design.control!)} in turn`
      : `${list(groups)}${against}`;
  return {
    kind: design.kind,
    words: `${capitalised(designName(design.kind))} (${source}): ${people}. The comparison rests on ${count(total.swings, 'full swing')} in ${count(total.sessions, 'session')}.`,
    ...total,
    arms,
  };
}

function counts(rows: readonly SwingGroup[]): { golfers: number; sessions: number; swings: number } {
  return {
    golfers: new Set(rows.map((row) => row.golfer)).size,
    sessions: new Set(rows.map((row) => row.session)).size,
    swings: rows.reduce((sum, row) => sum + row.count, 0),
  };
}
