import type { Model, ModelProblem } from '../../contract.ts';
import type { KeptData } from '../../design/fixed-columns.ts';
import { binaryLikelihood } from '../likelihood/binary.ts';
import { countLikelihood } from '../likelihood/count.ts';
import type { Likelihood } from '../likelihood/likelihood.ts';
import { ordinalLikelihood } from '../likelihood/ordinal.ts';

/** An outcome that is not on a continuous scale, read and checked. */
export interface Outcome {
  readonly likelihood: Likelihood;
  readonly observed: Float64Array;
  readonly trials: Float64Array | null;
  readonly thresholdNames: readonly string[];
  readonly notes: readonly string[];
}

/** More categories than this are a measurement and not a rating. */
const MOST_CATEGORIES = 50;

/** Reads the outcome; `rows` holds the 0-based row of the data behind each kept row. */
export function readOutcome(
  model: Model,
  kept: KeptData,
  rows: Int32Array,
): Outcome | readonly ModelProblem[] {
  const values = kept.numbers(model.outcome);
  if (model.distribution === 'ordinal') return readRatings(model, values);
  const trials = model.trials === undefined ? null : kept.numbers(model.trials);
  const problems: ModelProblem[] = [];
  const check = (
    column: string,
    entries: Float64Array,
    where: string,
    fits: (value: number, row: number) => boolean,
    expected: string,
    remedy: string,
  ): void => {
    const faults: number[] = [];
    entries.forEach((value, i) => {
      if (!fits(value, i)) faults.push(i);
    });
    if (faults.length === 0) return;
    const first = faults[0]!;
    problems.push({
      kind: 'bad-outcome',
      where,
      found: `${entries[first]} in ${column}, data row ${rows[first]! + 1}${trials && where === '/outcome' ? `, with ${trials[first]} trials` : ''}${faults.length > 1 ? ` (and ${faults.length - 1} more)` : ''}`,
      expected,
      remedy,
    });
  };
  const whole = (value: number): boolean => Number.isInteger(value) && value >= 0;
  if (model.distribution === 'count')
    check(
      model.outcome,
      values,
      '/outcome',
      whole,
      'counts: whole numbers from 0',
      'Correct the entry, or choose the distribution normal if these are measurements.',
    );
  else if (trials) {
    check(
      model.trials!,
      trials,
      '/trials',
      (value) => whole(value) && value > 0,
      'numbers of trials: whole numbers from 1',
      'Correct the entry, or leave it empty where there were no trials.',
    );
    check(
      model.outcome,
      values,
      '/outcome',
      (value, i) => whole(value) && value <= trials[i]!,
      'successes: whole numbers from 0 to the number of trials',
      'Correct the entry; check that the two columns were not exchanged.',
    );
  } else
    check(
      model.outcome,
      values,
      '/outcome',
      (value) => value === 0 || value === 1,
      '0 or 1',
      'Code no as 0 and yes as 1; if the column counts successes, name the column with the number of trials in `trials`.',
    );
  if (problems.length > 0) return problems;
  const constant =
    model.distribution === 'count'
      ? values.every((y) => y === values[0])
      : values.every((y) => y === 0) || values.every((y, i) => y === (trials ? trials[i] : 1));
  if (constant)
    return [
      constantOutcome(
        model,
        `${trials ? (values[0] === 0 ? 'no success' : 'nothing but successes') : values[0]} in every row`,
      ),
    ];
  return {
    likelihood: model.distribution === 'count' ? countLikelihood(values) : binaryLikelihood(values, trials),
    observed: values,
    trials,
    thresholdNames: [],
    notes: [],
  };
}

function readRatings(model: Model, values: Float64Array): Outcome | readonly ModelProblem[] {
  const seen = new Map<number, number>();
  for (let i = 0; i < values.length; i++) if (!seen.has(values[i]!)) seen.set(values[i]!, 0);
  const categories = [...seen.keys()].sort((a, b) => a - b);
  if (categories.length < 2) return [constantOutcome(model, `the rating ${categories[0]} in every row`)];
  if (categories.length > MOST_CATEGORIES)
    return [
      {
        kind: 'bad-outcome',
        where: '/outcome',
        found: `${categories.length} different values in ${model.outcome}`,
        expected: `ratings with at most ${MOST_CATEGORIES} categories`,
        remedy: 'Choose the distribution normal if these are measurements, or group the values.',
      },
    ];
  categories.forEach((category, k) => {
    seen.set(category, k);
  });
  const at = new Int32Array(values.length);
  for (let i = 0; i < at.length; i++) at[i] = seen.get(values[i]!)!;
  const notes: string[] = [];
  if (categories.every(Number.isInteger)) {
    const absent: number[] = [];
    for (let k = 1; k < categories.length && absent.length < 20; k++)
      for (let value = categories[k - 1]! + 1; value < categories[k]! && absent.length < 20; value++)
        absent.push(value);
    if (absent.length > 0)
      notes.push(
        `No row has the ${model.outcome} ${absent.join(', ')}: the ratings on either side of such a gap are treated as neighbours, with one threshold between them.`,
      );
  }
  return {
    likelihood: ordinalLikelihood(at, categories.length),
    observed: Float64Array.from(at),
    trials: null,
    thresholdNames: categories.slice(1).map((category, k) => `${categories[k]}|${category}`),
    notes,
  };
}

const constantOutcome = (model: Model, found: string): ModelProblem => ({
  kind: 'constant-outcome',
  where: '/outcome',
  found: `${found} of ${model.outcome}`,
  expected: 'an outcome that varies',
  remedy: 'Check the column; there is nothing to explain.',
});
