import { COVARIATE_WORDS, type Covariate } from '../../shared/covariates.ts';
import { count } from '../../shared/words.ts';
import type { StudyProblem } from '../../study.ts';
import { comparedRows, type MainAnalysis } from '../analysis/main-analysis.ts';
import type { Design } from './design.ts';
import type { SwingGroup } from './trial-data.ts';

/** Why the answer cannot be adjusted for these, all at once; none when it can. */
export function unadjustable(
  covariates: readonly Covariate[],
  design: Design,
  rows: readonly SwingGroup[],
): StudyProblem[] {
  if (covariates.length > 0 && (design.kind === 'crossover' || design.kind === 'stepped-start'))
    return [
      {
        where: 'the adjustment',
        found: `a ${design.kind === 'crossover' ? 'crossover' : 'stepped start'}, in which golfers are their own controls`,
        expected: 'parallel groups, or one group before and after',
        remedy: 'Ask without the adjustment.',
      },
    ];
  const compared = comparedRows(rows, design);
  return covariates.flatMap((name) => {
    const values = compared.map((row) => row.covariates?.[name] ?? null);
    const missing = new Set(compared.filter((_, i) => values[i] === null).map((row) => row.golfer)).size;
    const words = COVARIATE_WORDS[name];
    if (missing > 0)
      return [
        {
          where: `the adjustment for ${words}`,
          found: `no ${words} for ${count(missing, 'golfer')} in the trial`,
          expected: `a ${words} for every golfer that is compared`,
          remedy: `Fill in ${name}, or ask without the adjustment.`,
        },
      ];
    if (new Set(values).size < 2)
      return [
        {
          where: `the adjustment for ${words}`,
          found: `one ${words} for everybody`,
          expected: `at least two, since what is the same for all needs no adjustment`,
          remedy: 'Ask without the adjustment.',
        },
      ];
    return [];
  });
}

/** Why an adjusted answer could not be given after all, or null when it could. */
export function notAdjusted(covariates: readonly Covariate[], main: MainAnalysis): StudyProblem | null {
  if (covariates.length === 0 || main.form === 'swings') return null;
  return {
    where: 'the adjustment',
    found: `data that carry no model of single swings${main.notes.length === 0 ? '' : `: ${main.notes.join(' ')}`}`,
    expected: 'several swings of several golfers before and after',
    remedy: 'Ask without the adjustment.',
  };
}
