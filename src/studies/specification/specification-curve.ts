import { type Dataset, keepSwings } from '../../dataset/index.ts';
import type { Finding } from '../finding.ts';
import type { Study, StudyOptions } from '../study.ts';
import type { SpecificationChoice } from './choice.ts';
import { type Combination, curveOf, type SpecificationAnswer } from './curve-of.ts';
import type { SpecificationCurve } from './specification.ts';

/**
 * The first estimate of a study under every combination of stated choices; see `curveOf` for the scale.
 *
 * @param main the finding of the question as it was asked: the first option of each choice
 * @throws Error when there are more combinations than are asked, or a choice without options
 * @example
 * const curve = specificationCurve(dataset, { run: drillTrial }, { plan }, finding, []);
 * curve.answered // 1: with nothing to choose there is one answer
 */
export function specificationCurve(
  dataset: Dataset,
  study: Pick<Study, 'run'>,
  options: StudyOptions,
  main: Finding,
  choices: readonly SpecificationChoice[],
): SpecificationCurve {
  return curveOf(choices, (combination, index) =>
    index === 0 ? answerIn(main) : asked(dataset, study, options, main, combination),
  );
}

function asked(
  dataset: Dataset,
  study: Pick<Study, 'run'>,
  options: StudyOptions,
  main: Finding,
  combination: Combination,
): SpecificationAnswer {
  const changed: StudyOptions = Object.assign({}, options, ...combination.map((option) => option.options));
  const column = changed.metric ?? main.metric.column;
  const rules = combination.flatMap(({ keep }) => (keep === undefined ? [] : [keep(dataset, column)]));
  const own =
    rules.length === 0 ? dataset : keepSwings(dataset, (index) => rules.every((keep) => keep(index)));
  const outcome = study.run(own, { ...changed, metric: column });
  if (outcome.ok) return answerIn(outcome.finding);
  const why = outcome.problems.map((problem) => problem.found).join('; ');
  return { metric: null, value: null, interval: [null, null], unit: '', smallest: null, verdict: null, why };
}

/** The first estimate of a finding, and what its verdict was set against. */
function answerIn({ estimates, metric, smallestChange, verdict }: Finding): SpecificationAnswer {
  const [first] = estimates;
  return {
    metric: metric.column,
    value: first?.value ?? null,
    interval: first?.interval ?? [null, null],
    unit: first?.unit ?? metric.unit,
    smallest: smallestChange?.value ?? null,
    verdict,
    why: null,
  };
}
