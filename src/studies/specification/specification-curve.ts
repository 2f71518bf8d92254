import { type Dataset, keepSwings } from '../../dataset/index.ts';
import type { Finding } from '../finding.ts';
import type { Study, StudyOptions } from '../study.ts';
import type { SpecificationChoice, SpecificationOption } from './choice.ts';
import { curveWords } from './curve-words.ts';
import { influences } from './influence.ts';
import type { SpecificationCurve, SpecificationRow } from './specification.ts';

/** More combinations than this are refused: a choice of which to leave out would be made after the fact. */
export const MOST_SPECIFICATIONS = 500;

/** One way of asking: the option taken of each choice, in the order of the choices. */
type Combination = readonly SpecificationOption[];

/**
 * The first estimate of a study under every combination of stated choices (Simonsohn, Simmons and Nelson 2020,
 * Nature Human Behaviour 4:1208-1214, describe the idea). None is picked: all are kept, those that give no answer
 * with the reason. Estimates in one unit stay in it; else each is given in multiples of its own smallest change that
 * matters, turned so that more means more of the metric asked for.
 *
 * @param main the finding of the question as it was asked: the first option of each choice
 * @throws Error when there are more than `MOST_SPECIFICATIONS` combinations, or a choice without options
 * @example
 * const curve = specificationCurve(dataset, study, options, finding, standardChoices(dataset, column, []));
 * curve.answered; // 8
 */
export function specificationCurve(
  dataset: Dataset,
  study: Pick<Study, 'run'>,
  options: StudyOptions,
  main: Finding,
  choices: readonly SpecificationChoice[],
): SpecificationCurve {
  const combinations = everyCombination(choices);
  const outcomes = combinations.map((combination, index) => ({
    chosen: Object.fromEntries(choices.map(({ key }, i) => [key, combination[i]!.key])),
    sense: combination.reduce((sense, option) => sense * (option.sense ?? 1), 1),
    ...(index === 0 ? { finding: main } : asked(dataset, study, options, main, combination)),
  }));
  const findings = outcomes.flatMap(({ finding }) => (finding === undefined ? [] : [finding]));
  const oneUnit = new Set(findings.map((finding) => finding.metric.column)).size === 1;
  const rows = outcomes.map(({ chosen, sense, finding, why }, index): SpecificationRow => {
    const raw = finding?.estimates[0];
    const smallest = finding?.smallestChange ?? null;
    const scale = oneUnit ? 1 : smallest === null ? null : sense / smallest.value;
    const [low, high] = raw?.interval ?? [null, null];
    const scaled = (value: number | null) => (value === null || scale === null ? null : scale * value);
    const ends = [scaled(low), scaled(high)] as const;
    return {
      chosen,
      asAsked: index === 0,
      metric: finding?.metric.column ?? null,
      value: scaled(raw?.value ?? null),
      interval: scale !== null && scale < 0 ? [ends[1], ends[0]] : ends,
      raw: raw === undefined ? null : { value: raw.value, interval: raw.interval, unit: raw.unit },
      verdict: finding?.verdict ?? null,
      why: why ?? (raw?.value === null || raw === undefined ? 'no estimate could be made this way' : null),
    };
  });
  const ordered = rows.toSorted((a, b) => (a.value ?? Infinity) - (b.value ?? Infinity));
  const answered = rows.filter((row) => row.value !== null);
  const curve = {
    scale: oneUnit
      ? { kind: 'unit' as const, unit: main.estimates[0]?.unit ?? main.metric.unit }
      : { kind: 'smallest-change' as const, unit: 'x the smallest change that matters' },
    choices: choices.map(({ key, words, options: own }) => ({
      key,
      words,
      options: own.map((option) => ({ key: option.key, words: option.words })),
    })),
    rows: ordered,
    influences: influences(choices, answered),
    answered: answered.length,
    sameVerdict: answered.filter((row) => row.verdict === main.verdict).length,
    verdict: main.verdict,
  };
  return { ...curve, words: curveWords(curve) };
}

function asked(
  dataset: Dataset,
  study: Pick<Study, 'run'>,
  options: StudyOptions,
  main: Finding,
  combination: Combination,
): { readonly finding?: Finding; readonly why?: string } {
  const changed: StudyOptions = Object.assign({}, options, ...combination.map((option) => option.options));
  const column = changed.metric ?? main.metric.column;
  const rules = combination.flatMap(({ keep }) => (keep === undefined ? [] : [keep(dataset, column)]));
  const own =
    rules.length === 0 ? dataset : keepSwings(dataset, (index) => rules.every((keep) => keep(index)));
  const outcome = study.run(own, { ...changed, metric: column });
  if (outcome.ok) return { finding: outcome.finding };
  return { why: outcome.problems.map((problem) => problem.found).join('; ') };
}

function everyCombination(choices: readonly SpecificationChoice[]): Combination[] {
  const empty = choices.find((choice) => choice.options.length === 0);
  if (empty !== undefined)
    throw new Error(`specificationCurve: the choice '${empty.key}' has no option; give it at least one`);
  const count = choices.reduce((product, choice) => product * choice.options.length, 1);
  if (count > MOST_SPECIFICATIONS)
    throw new Error(
      `specificationCurve: ${count} combinations, of which at most ${MOST_SPECIFICATIONS} are asked; give fewer options`,
    );
  return choices.reduce<SpecificationOption[][]>(
    (before, choice) => before.flatMap((chosen) => choice.options.map((option) => [...chosen, option])),
    [[]],
  );
}
