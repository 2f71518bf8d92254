import type { FixedTerm, Model, ModelProblem, RandomEffect } from '../contract.ts';
import { columnsNamed } from '../design/columns-named.ts';
import { type Exponents, ordered, powersUpTo, productOf } from './exponents.ts';
import { sumsProblems } from './sums-problems.ts';

export type { Exponents } from './exponents.ts';

/**
 * What has to be counted and summed so that a normal model can be fitted without its rows. The rows fall into cells,
 * one for each combination of the `keys` that occurs; in each cell the products of powers of the numbers, each number
 * less a constant near its mean (its centre), are summed.
 */
export interface SumsPlan {
  readonly model: Model;
  /** Columns whose entries make the cells: groups and factors. */
  readonly keys: readonly string[];
  /** Columns that are summed as numbers; the outcome (less the offset) comes after them. */
  readonly numbers: readonly string[];
  /** The products every column of the model is made of in a cell; the first is 1, the last the outcome. */
  readonly basis: readonly Exponents[];
  /** The products whose sums are wanted: those of two of the basis. The first is 1: the sum of the weights. */
  readonly sums: readonly Exponents[];
  /** Places in `numbers` of the columns whose group means are asked for: with weights their plain sums are wanted too. */
  readonly averaged: readonly number[];
}

/** How a model is fitted from sums over groups, or every reason why it cannot be. */
export type SumsOutcome =
  | { readonly ok: true; readonly plan: SumsPlan }
  | { readonly ok: false; readonly problems: readonly ModelProblem[] };

/**
 * Plans the sums for a model, or says, all at once, why sums do not answer it. A column is a factor when its term gives
 * `levels` or a coding, or when it is among the `factors` (columns that hold words).
 *
 * @example
 * const random = [{ group: 'g', effects: ['intercept'] }];
 * const planned = planSums({ outcome: 'y', fixed: ['intercept', { column: 'x' }], random });
 * planned.ok && planned.plan.keys // ['g']
 * planned.ok && planned.plan.sums.length // 6: of 1, x, y, x x, x y and y y
 */
export function planSums<Row = Record<string, unknown>>(
  asked: Model<Row>,
  factors: readonly string[] = [],
): SumsOutcome {
  const model = asked as unknown as Model;
  const problems = sumsProblems(model);
  if (problems.length > 0) return { ok: false, problems };
  const isFactor = new Set(factors);
  for (const term of model.fixed)
    if (
      term !== 'intercept' &&
      'column' in term &&
      ('levels' in term || ('coding' in term && term.coding !== undefined))
    )
      isFactor.add(term.column);
  const named = columnsNamed(model);
  const keys = new Set(
    named
      .filter(({ role, column }) => role === 'text' || (role === 'number or factor' && isFactor.has(column)))
      .map(({ column }) => column),
  );
  const apart = new Set([model.outcome, model.weights, model.offset]);
  const summed = new Set<string>();
  for (const { column, role, where } of named) {
    if (role === 'text' || keys.has(column) || /^\/(outcome|weights|offset)$/.test(where)) continue;
    summed.add(column);
  }
  const both = model.fixed.findIndex(
    (term) => term !== 'intercept' && ('within' in term || 'between' in term) && keys.has(term.column),
  );
  const used = [...keys].find((column) => apart.has(column));
  if (both >= 0 || used !== undefined)
    return {
      ok: false,
      problems: [
        {
          kind: 'not-available',
          where: both >= 0 ? `/fixed/${both}/column` : '/',
          found: `${both >= 0 ? (model.fixed[both] as { column: string }).column : used}, which the model uses as a number and also as a group or factor`,
          expected: 'columns that are used in one way',
          remedy: 'Put the column into the data a second time under another name.',
        },
      ],
    };
  const numbers = [...summed];
  const products = [
    ...model.fixed.map((term) => termExponents(term, numbers)),
    ...(model.random ?? []).flatMap(({ effects }) =>
      effects.map((effect) => effectExponents(effect, numbers)),
    ),
  ];
  const one = numbers.map(() => 0).concat(0);
  const outcome = numbers.map(() => 0).concat(1);
  const basis = [...ordered([one, ...products.flatMap(powersUpTo)]), outcome];
  const averaged = model.fixed.flatMap((term) =>
    term !== 'intercept' && ('within' in term || 'between' in term) ? [numbers.indexOf(term.column)] : [],
  );
  return {
    ok: true,
    plan: {
      model,
      keys: [...keys],
      numbers,
      basis,
      sums: ordered(basis.flatMap((a, i) => basis.slice(0, i + 1).map((b) => productOf(b, a)))),
      averaged: model.weights === undefined ? [] : [...new Set(averaged)],
    },
  };
}

/** The numbers in a fixed term; its factors are constant in a cell. */
export function termExponents(
  term: FixedTerm<Record<string, unknown>>,
  numbers: readonly string[],
): Exponents {
  if (term === 'intercept') return exponentsOf([], numbers);
  if ('product' in term) return exponentsOf(term.product, numbers);
  if ('power' in term) return exponentsOf(new Array<string>(term.power).fill(term.column), numbers);
  return exponentsOf([term.column], numbers);
}

/** The numbers in a random effect. */
export function effectExponents(
  effect: RandomEffect<Record<string, unknown>>,
  numbers: readonly string[],
): Exponents {
  if (effect === 'intercept' || (typeof effect === 'object' && 'level' in effect))
    return exponentsOf([], numbers);
  return exponentsOf(typeof effect === 'string' ? [effect] : effect.product, numbers);
}

function exponentsOf(columns: readonly string[], numbers: readonly string[]): Exponents {
  return [...numbers.map((name) => columns.filter((column) => column === name).length), 0];
}
