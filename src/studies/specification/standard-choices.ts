import type { Dataset } from '../../dataset/index.ts';
import { COVARIATE_WORDS, type Covariate, covariateBySession } from '../shared/covariates.ts';
import { metricsPresent, studyMetric } from '../shared/study-metric.ts';
import { alternativeMetrics } from './alternative-metrics.ts';
import type { SpecificationChoice, SpecificationOption } from './choice.ts';
import { SWING_RULES } from './swing-rules.ts';

/**
 * The choices that any study of one metric leaves open: which of the metrics that answer the question, which swings,
 * and what is adjusted for (where the study can adjust). They are fixed before the data are looked at, and every
 * combination is asked. A rule that would leave no swing out of these data, and what is the same for everybody, are no
 * choices here and are not counted as such.
 *
 * @param column of the metric that the study asks about
 * @param covariates that the study can adjust for
 * @example standardChoices(dataset, 'shaft_lean_impact_deg', []).every(({ options }) => options.length > 1) // true
 */
export function standardChoices(
  dataset: Dataset,
  column: string,
  covariates: readonly Covariate[],
): SpecificationChoice[] {
  const present = new Set(metricsPresent(dataset));
  const metrics: SpecificationOption[] = [
    { key: column, words: studyMetric(column).label },
    ...alternativeMetrics(column)
      .filter((other) => present.has(other.column))
      .map((other) => ({
        key: other.column,
        words: studyMetric(other.column).label,
        options: { metric: other.column },
        sense: other.sense,
      })),
  ];
  const adjustments: SpecificationOption[] = [
    { key: 'none', words: 'nothing further' },
    ...covariates
      .filter((covariate) => differs(dataset, covariate))
      .map((covariate) => ({
        key: covariate,
        words: COVARIATE_WORDS[covariate],
        options: { covariates: [covariate] },
      })),
  ];
  return [
    { key: 'metric', words: 'which number answers', options: metrics },
    {
      key: 'swings',
      words: 'which swings count',
      options: SWING_RULES.filter(leavesSomeOut(dataset, column)),
    },
    { key: 'adjusted', words: 'what is adjusted for', options: adjustments },
  ].filter((choice) => choice.options.length > 1);
}

function differs(dataset: Dataset, covariate: Covariate): boolean {
  return new Set(covariateBySession(dataset, covariate).values()).size > 1;
}

/** Whether a rule is the first, which leaves none out, or changes anything. */
function leavesSomeOut(dataset: Dataset, column: string): (option: SpecificationOption) => boolean {
  return ({ keep }) => {
    if (keep === undefined) return true;
    const stays = keep(dataset, column);
    return dataset.tables.swings.column('swing_id').some((_, index) => !stays(index));
  };
}
