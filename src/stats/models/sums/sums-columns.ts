import { type Exponents, sameExponents } from './exponents.ts';
import type { SumsPlan } from './plan-sums.ts';

/** One column of the table of sums, which has one row for each cell. */
export interface SumsColumn {
  readonly name: string;
  readonly kind: 'left out' | 'key' | 'rows' | 'log weights' | 'centre' | 'plain sum' | 'sum';
  /** Place in the plan's `keys`, `numbers` (the outcome comes after them) or `sums`; 0 for the kinds there is one of. */
  readonly place: number;
  /** In words. */
  readonly meaning: string;
}

/**
 * The columns of the table that `fitSums` reads, whatever engine has made it. Names are short and plain, so that every
 * engine takes them.
 *
 * @example
 * const planned = planSums({ outcome: 'y', fixed: ['intercept'] });
 * // centre_1 is a constant near the mean of y, sum_1 the sum of y less it, sum_2 that of its square
 * sumsColumns(planned.plan).map(({ name }) => name) // ['left_out', 'row_count', 'centre_1', 'sum_1', 'sum_2']
 */
export function sumsColumns(plan: SumsPlan): SumsColumn[] {
  const { model, keys, numbers, averaged, sums } = plan;
  const weighted = model.weights !== undefined;
  const names = [
    ...numbers,
    model.offset === undefined ? model.outcome : `(${model.outcome} - ${model.offset})`,
  ];
  return [
    {
      name: 'left_out',
      kind: 'left out',
      place: 0,
      meaning: `0 for rows that are used, otherwise why not: ${reasonsToLeaveOut(plan)
        .map(({ why }, r) => `${r + 1}: ${why}`)
        .join(', ')}`,
    },
    ...keys.map(
      (key, k): SumsColumn => ({
        name: `key_${k + 1}`,
        kind: 'key',
        place: k,
        meaning: `the level of ${key}`,
      }),
    ),
    { name: 'row_count', kind: 'rows', place: 0, meaning: 'how many rows' },
    ...(weighted
      ? [{ name: 'log_weights', kind: 'log weights', place: 0, meaning: 'sum of log(weight)' } as const]
      : []),
    ...names.map(
      (name, k): SumsColumn => ({
        name: `centre_${k + 1}`,
        kind: 'centre',
        place: k,
        meaning: `a constant near the mean of ${name}`,
      }),
    ),
    ...averaged.map(
      (k): SumsColumn => ({
        name: `plain_${k + 1}`,
        kind: 'plain sum',
        place: k,
        meaning: `sum of (${names[k]} - centre_${k + 1}), without weights`,
      }),
    ),
    ...sums.flatMap((exponents, s): SumsColumn[] =>
      s === 0 && !weighted
        ? []
        : [
            {
              name: `sum_${s}`,
              kind: 'sum',
              place: s,
              meaning: `sum of ${[...(weighted ? [`${model.weights}`] : []), ...factorsOf(exponents, names)].join(' x ')}`,
            },
          ],
    ),
  ];
}

function factorsOf(exponents: Exponents, names: readonly string[]): string[] {
  return exponents.flatMap((power, k) => new Array<string>(power).fill(`(${names[k]} - centre_${k + 1})`));
}

/**
 * Why rows are left out, in the order of the numbers that stand for it in `left_out`, from 1.
 *
 * @example
 * const planned = planSums({ outcome: 'y', fixed: ['intercept'] });
 * reasonsToLeaveOut(planned.plan).map(({ why }) => why) // ['y is missing', 'y is not a finite number']
 */
export function reasonsToLeaveOut({ model, keys, numbers }: SumsPlan): {
  readonly column: string;
  readonly what: 'missing' | 'not finite' | 'not above zero';
  readonly why: string;
}[] {
  const summed = [
    ...new Set([model.outcome, ...[model.weights, model.offset].flatMap((name) => name ?? []), ...numbers]),
  ];
  return [
    ...[...keys, ...summed].map((column) => ({
      column,
      what: 'missing' as const,
      why: `${column} is missing`,
    })),
    ...summed.map((column) => ({
      column,
      what: 'not finite' as const,
      why: `${column} is not a finite number`,
    })),
    ...(model.weights === undefined
      ? []
      : [
          {
            column: model.weights,
            what: 'not above zero' as const,
            why: `the weight ${model.weights} is not above zero`,
          },
        ]),
  ];
}

/** The place in `sums` of the product of two of the basis. */
export function placesOfProducts({ basis, sums }: SumsPlan): Int32Array {
  const b = basis.length;
  return Int32Array.from({ length: b * b }, (_, at) => {
    const one = basis[Math.floor(at / b)]!;
    const other = basis[at % b]!;
    return sums.findIndex((sum) =>
      sameExponents(
        sum,
        one.map((power, k) => power + other[k]!),
      ),
    );
  });
}
