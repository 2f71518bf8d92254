import type { StudyProblem } from '../../study.ts';
import type { Design } from './design.ts';
import type { SwingGroup, TrialData } from './trial-data.ts';

/** Why these data cannot even be put to the question, or null when they can. */
export function unanswerable(
  data: TrialData,
  design: Design,
  rows: readonly SwingGroup[],
): StudyProblem | null {
  const { label, column } = data.metric;
  const full = rows.filter((row) => row.task === 'full');
  if (full.length === 0)
    return {
      where: `swings.csv, ${column}`,
      found: `no full swing with a value for ${label} by a golfer in the trial`,
      expected: 'full swings, before and after the drill, by the golfers in assignments.csv',
      remedy:
        'Check the task of the swings, the ids in assignments.csv, and whether the column is filled in.',
    };
  if (!full.some((row) => row.phase === 'post'))
    return {
      where: 'sessions.csv, phase',
      found: `no full swing with a value for ${label} after the drill (phase post)`,
      expected: 'at least one session after the drill, marked post',
      remedy: 'Measure after the drill, or correct the phase of those sessions.',
    };
  const before = full.some((row) => row.phase === 'baseline');
  if (!before && (design.kind === 'before-after' || design.kind === 'stepped-start'))
    return {
      where: 'sessions.csv, phase',
      found: `no full swing with a value for ${label} before the drill (phase baseline), and no control group`,
      expected: 'a baseline, or a control group, to compare with',
      remedy:
        'Mark the sessions before the drill as baseline, or add golfers without the drill as a control arm.',
    };
  if (design.kind === 'crossover') {
    const missing = [design.drills[0]!, design.control!].filter(
      (arm) => !full.some((row) => row.phase === 'post' && row.arm === arm),
    );
    if (missing.length > 0)
      return {
        where: 'sessions.csv',
        found: `no session marked post after the period of ${missing.join(' or ')}`,
        expected: 'a session marked post after each of the two periods',
        remedy: 'Check the dates of the sessions against assigned_on, and their phases.',
      };
  }
  return null;
}
