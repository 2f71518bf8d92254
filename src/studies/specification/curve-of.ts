import type { Verdict } from '../finding.ts';
import type { SpecificationChoice, SpecificationOption } from './choice.ts';
import { curveWords } from './curve-words.ts';
import { influences } from './influence.ts';
import type { SpecificationCurve, SpecificationRow } from './specification.ts';

/** More combinations than this are refused: a choice of which to leave out would be made after the fact. */
export const MOST_SPECIFICATIONS = 500;

/** One way of asking: the option taken of each choice, in the order of the choices. */
export type Combination = readonly SpecificationOption[];

/** What one way of asking gave, in the unit of its own metric. */
export interface SpecificationAnswer {
  readonly metric: string | null;
  readonly value: number | null;
  readonly interval: readonly [number | null, number | null];
  readonly unit: string;
  /** What its verdict was set against, in the same unit. */
  readonly smallest: number | null;
  readonly verdict: Verdict | null;
  /** Why there is no estimate; null where there is one. */
  readonly why: string | null;
}

/**
 * All answers to one question laid on one scale, in order (Simonsohn, Simmons and Nelson 2020, Nature Human Behaviour
 * 4:1208-1214, describe the idea). None is picked: all are kept, those that give no answer with the reason. Estimates of
 * one number in one unit stay in it; else each is given in multiples of its own smallest change that matters, turned so
 * that more means more of the number asked for.
 *
 * @param answerOf what a combination gives; the first combination is the question as it was asked
 * @throws Error when there are more than `MOST_SPECIFICATIONS` combinations, or a choice without options
 */
export function curveOf(
  choices: readonly SpecificationChoice[],
  answerOf: (combination: Combination, index: number) => SpecificationAnswer,
): SpecificationCurve {
  const combinations = everyCombination(choices);
  const answers = combinations.map((combination, index) => ({
    ...answerOf(combination, index),
    chosen: Object.fromEntries(choices.map(({ key }, i) => [key, combination[i]!.key])),
    sense: combination.reduce((sense, option) => sense * (option.sense ?? 1), 1),
  }));
  const kinds = answers.flatMap(({ metric, unit, value }) => (value === null ? [] : [`${metric} ${unit}`]));
  const oneUnit = new Set(kinds).size < 2;
  const rows = answers.map(
    ({ chosen, sense, metric, value, interval, unit, smallest, verdict, why }, index): SpecificationRow => {
      const scale = oneUnit ? 1 : smallest === null ? null : sense / smallest;
      const scaled = (own: number | null) => (own === null || scale === null ? null : scale * own);
      const ends = [scaled(interval[0]), scaled(interval[1])] as const;
      const put = scaled(value);
      return {
        chosen,
        asAsked: index === 0,
        metric,
        value: put,
        interval: scale !== null && scale < 0 ? [ends[1], ends[0]] : ends,
        raw: metric === null ? null : { value, interval, unit },
        verdict,
        why: why ?? (put === null ? 'no estimate could be made this way' : null),
      };
    },
  );
  const answered = rows.filter((row) => row.value !== null);
  // What could be done in one way only was not chosen.
  const open = choices.filter(({ options }) => options.length > 1);
  const verdict = answers[0]!.verdict ?? 'cannot-tell';
  const curve = {
    scale: oneUnit
      ? { kind: 'unit' as const, unit: answers[0]!.unit }
      : { kind: 'smallest-change' as const, unit: 'x the smallest change that matters' },
    choices: open.map(({ key, words, options }) => ({
      key,
      words,
      options: options.map((option) => ({ key: option.key, words: option.words })),
    })),
    rows: rows.toSorted((a, b) => (a.value ?? Infinity) - (b.value ?? Infinity)),
    influences: influences(open, answered),
    answered: answered.length,
    sameVerdict: answered.filter((row) => row.verdict === verdict).length,
    verdict,
  };
  return { ...curve, words: curveWords(curve) };
}

function everyCombination(choices: readonly SpecificationChoice[]): Combination[] {
  const empty = choices.find((choice) => choice.options.length === 0);
  if (empty !== undefined)
    throw new Error(`curveOf: the choice '${empty.key}' has no option; give it at least one`);
  const count = choices.reduce((product, choice) => product * choice.options.length, 1);
  if (count > MOST_SPECIFICATIONS)
    throw new Error(
      `curveOf: ${count} combinations, of which at most ${MOST_SPECIFICATIONS} are asked; give fewer options`,
    );
  return choices.reduce<SpecificationOption[][]>(
    (before, choice) => before.flatMap((chosen) => choice.options.map((option) => [...chosen, option])),
    [[]],
  );
}
