import type { FindingEstimate } from '../finding.ts';
import type { StudyMetric } from '../shared/study-metric.ts';
import type { InstructorsAnswer, Spread } from './analyse.ts';

const finite = (value: number): number | null => (Number.isFinite(value) ? value : null);

/** Pupils come whole, and it takes at least one. */
function wholePupils({ value, interval: [low, high] }: Spread): Spread {
  const whole = (size: number) => Math.max(1, Math.ceil(size));
  return { value: whole(value), interval: [whole(low), whole(high)] };
}

function estimate(
  key: string,
  name: string,
  { value, interval }: Spread,
  level: number,
  unit: string,
  meaning: string,
  signed = false,
): FindingEstimate {
  return {
    key,
    name,
    value: finite(value),
    interval: [finite(interval[0]), finite(interval[1])],
    level,
    unit,
    degreesOfFreedom: null,
    ...(signed ? {} : { unsigned: true }),
    meaning,
  };
}

/** How far two instructors drawn at random lie apart: the estimate that answers. */
export function differenceEstimate(
  answer: InstructorsAnswer,
  { unit }: Pick<StudyMetric, 'unit'>,
  level: number,
): FindingEstimate {
  return estimate(
    'difference',
    'difference between two instructors, on average',
    answer.difference,
    level,
    unit,
    'How far the gains of pupils of two instructors picked at random lie apart, for the same case mix.',
  );
}

/** Every estimate of the study, the one that answers first, then the instructors who may be shown. */
export function instructorsEstimates(
  answer: InstructorsAnswer,
  metric: StudyMetric,
  level: number,
): FindingEstimate[] {
  const { unit } = metric;
  return [
    differenceEstimate(answer, metric, level),
    estimate(
      'between-sd',
      'SD between instructors',
      answer.betweenSd,
      level,
      unit,
      'How much instructors differ in what their pupils gain, chance and case mix taken out.',
    ),
    estimate(
      'within-sd',
      'SD between pupils of one instructor',
      answer.withinSd,
      level,
      unit,
      'How much the gains of pupils of one instructor differ, noise of measuring included.',
    ),
    estimate(
      'share',
      'share of differences that is between instructors',
      answer.share,
      level,
      'ratio',
      'Of all that differs between gains of pupils, the part that goes with the instructor.',
    ),
    estimate(
      'pupils-needed',
      'pupils an instructor needs for a reliability of 0.7',
      wholePupils(answer.pupilsNeeded),
      level,
      'pupils',
      'With so many pupils, seven tenths of the differences between instructors’ means would be theirs.',
    ),
    ...answer.instructors.map(({ instructor, effect, interval, pupils }) =>
      estimate(
        'instructor',
        instructor,
        { value: effect, interval },
        level,
        unit,
        `Best guess of how far the gains of this instructor's ${pupils} pupils lie from the mean instructor's, shrunken by how few they are.`,
        true,
      ),
    ),
  ];
}
