import type { SmallestChange } from '../finding.ts';
import type { StudyMetric } from '../shared/study-metric.ts';
import { amount, count, decimalsToShow, figureIn, list, percent } from '../shared/words.ts';
import { FEWEST_PUPILS, type InstructorsAnswer } from './analyse.ts';
import { verdictUnder } from './sensitivity.ts';

export interface InstructorsWording {
  readonly metric: StudyMetric;
  readonly answer: InstructorsAnswer;
  readonly smallest: SmallestChange | null;
  readonly level: number;
}

/** The answer in a sentence or two, by rules from the numbers. */
export function instructorsSentence(given: InstructorsWording): string {
  const { metric, answer, smallest, level } = given;
  const { value, interval } = answer.difference;
  const decimals = decimalsToShow(interval, smallest?.value ?? null, metric.decimals);
  const size = amount(value, metric.unit, decimals);
  const range = `${percent(level, 1)} interval ${figureIn(interval[0], metric.unit, decimals)} to ${amount(interval[1], metric.unit, decimals)}`;
  return `What pupils gain in ${metric.label} differs by ${size} between two instructors, on average (${range})${standing(given, decimals)}. ${rankingSentence(given)}`;
}

function standing(given: InstructorsWording, decimals: number): string {
  const { answer, smallest, metric } = given;
  if (smallest === null) return '; nothing says how small a difference would matter';
  const s = amount(smallest.value, metric.unit, decimals);
  switch (verdictUnder(answer, smallest)) {
    case 'meaningful':
      return `; that is at least the ${s} that would matter, so instructors differ enough to matter`;
    case 'too-small-to-matter':
      return `; that is within the ${s} that would matter, so it hardly matters who teaches`;
    default:
      return `; whether that reaches the ${s} that would matter cannot be told`;
  }
}

/** Whether instructors can be put in an order, and how far. */
export function rankingSentence({ answer, metric, level }: InstructorsWording): string {
  const { pairs, noRanking } = answer;
  switch (noRanking) {
    case 'too-few':
      return `Fewer than three instructors have the ${FEWEST_PUPILS} pupils it takes to be shown, so there is no ranking.`;
    case 'no-direction':
      return `Neither more nor less of ${metric.label} is better in itself, so there is no ranking.`;
    case 'no-pair':
      return `No two of the ${answer.instructors.length} instructors can be told apart with ${percent(level, 1)} certainty, so there is no ranking.`;
    case null: {
      const apart = pairs.filter((pair) => pair.apart).length;
      return `Of ${count(pairs.length, 'pair')} of instructors, ${apart} can be told apart; the others cannot, so read ranks with their intervals.`;
    }
  }
}

/** Why there is no ranking, for the page; null where there is one. */
export function noRankingWords(given: InstructorsWording): string | null {
  return given.answer.noRanking === null ? null : rankingSentence(given);
}

/** What a reader must not do with it. */
export function instructorsCautions(answer: InstructorsAnswer, adjusted: readonly string[]): string[] {
  return [
    'Pupils were not drawn to instructors by lot. What sends a pupil to an instructor may also decide the result, and can look like the instructor’s doing.',
    adjusted.length === 0
      ? 'Gains are adjusted for nothing, so instructors whose pupils gain more easily look better for it.'
      : `Gains are adjusted for ${list(adjusted)}, and for nothing else that makes gaining easy.`,
    'This is not fit, by itself, for deciding pay or employment.',
    ...(answer.hidden === 0
      ? []
      : [
          `${count(answer.hidden, 'instructor')} with fewer than ${FEWEST_PUPILS} pupils ${answer.hidden === 1 ? 'is' : 'are'} in the model and not shown.`,
        ]),
  ];
}

/** What to do next, the most useful first. */
export function instructorsNext(given: InstructorsWording, planned: boolean): string[] {
  const { answer, smallest } = given;
  const needed = Math.ceil(answer.pupilsNeeded.value);
  const verdict = verdictUnder(answer, smallest);
  return [
    ...(verdict === 'cannot-tell'
      ? [
          Number.isFinite(needed) && needed <= 500
            ? `Gather more pupils before comparing anybody: about ${needed} for each instructor would make seven tenths of the differences between means the instructors’ own.`
            : 'Instructors are too alike for any roster to rank them; ask what a drill does instead.',
        ]
      : []),
    ...(verdict === 'too-small-to-matter'
      ? ['Leave the comparison of instructors; look for what helps pupils whoever teaches.']
      : []),
    ...(verdict === 'meaningful'
      ? ['Look at what the instructors do differently, and test that in a trial with pupils drawn by lot.']
      : []),
    ...(planned
      ? []
      : ['Write the question and the difference that matters in a plan before the next season.']),
  ];
}
