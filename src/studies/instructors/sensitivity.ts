import type { Sensitivity, SmallestChange, Verdict } from '../finding.ts';
import type { Covariate } from '../shared/covariates.ts';
import { verdictOf } from '../shared/standing.ts';
import type { StudyMetric } from '../shared/study-metric.ts';
import { amount, count } from '../shared/words.ts';
import { analyseInstructors, type InstructorsAnswer, type InstructorsRequest } from './analyse.ts';
import { differenceEstimate } from './estimates.ts';
import { predictorsOf } from './predictors.ts';
import type { Pupil } from './pupils.ts';

export interface SensitivityOfInstructors {
  readonly request: InstructorsRequest;
  readonly answer: InstructorsAnswer;
  readonly covariates: readonly Covariate[];
  readonly metric: StudyMetric;
  readonly smallest: SmallestChange | null;
}

/** The same question with one choice changed, each time with its verdict. */
export function instructorsSensitivity(given: SensitivityOfInstructors): Sensitivity[] {
  const { request, answer, covariates, metric, smallest } = given;
  const { pupils } = request;
  const main = verdictUnder(answer, smallest);
  const entry = (
    name: string,
    what: string,
    changed: {
      pupils?: readonly Pupil[];
      start?: boolean;
      covariates?: readonly Covariate[];
      after?: boolean;
    },
  ): Sensitivity => {
    const own = changed.pupils ?? pupils;
    const other = analyseInstructors({
      ...request,
      pupils: own,
      predictors: predictorsOf(own, changed.start ?? false, changed.covariates ?? covariates),
      ...(changed.after === true ? { result: (pupil: Pupil) => pupil.after } : {}),
    });
    const verdict = other === null ? 'cannot-tell' : verdictUnder(other, smallest);
    return {
      name,
      what,
      estimate: other === null ? null : differenceEstimate(other, metric, request.level),
      verdict,
      words:
        other === null
          ? 'It could not be estimated this way.'
          : `Two instructors then lie ${amount(other.difference.value, metric.unit, metric.decimals)} apart on average. ${verdict === main ? 'The verdict is the same.' : 'The verdict is another.'}`,
    };
  };
  const largest = largestOf(pupils);
  return [
    entry(
      'start adjusted by a slope',
      'The result after, adjusted for the start with the slope that the data give.',
      { start: true, after: true },
    ),
    entry('nothing adjusted', 'Results after, as they are: what a bare table of averages would rest on.', {
      covariates: [],
      after: true,
    }),
    ...(covariates.length === 0
      ? []
      : [entry('gains as they are', 'Gains adjusted for nothing.', { covariates: [] })]),
    entry(
      `without ${largest.name}`,
      `Without the ${count(largest.size, 'pupil')} of the instructor with the most.`,
      { pupils: pupils.filter((pupil) => pupil.instructor !== largest.name) },
    ),
  ];
}

/** The verdict on how far instructors lie apart; there is no wrong way, so never the opposite. */
export function verdictUnder(answer: InstructorsAnswer, smallest: SmallestChange | null): Verdict {
  return smallest === null
    ? 'cannot-tell'
    : verdictOf(answer.difference.interval, { value: smallest.value, goodDirection: 1 });
}

function largestOf(pupils: readonly Pupil[]): { readonly name: string; readonly size: number } {
  const sizes = new Map<string, number>();
  for (const { instructor } of pupils) sizes.set(instructor, (sizes.get(instructor) ?? 0) + 1);
  return [...sizes]
    .map(([name, size]) => ({ name, size }))
    .toSorted((a, b) => b.size - a.size || (a.name < b.name ? -1 : 1))[0]!;
}
