import type { FixedTerm, Model, ModelProblem } from '../contract.ts';
import { codesOf, type Factor } from './coding.ts';
import type { CodedText } from './data-column.ts';
import { naturalSplineColumns } from './natural-spline.ts';

/** What a product is made of: a number (one column) or a factor (a column per level but the first). */
export interface Variable {
  readonly name: string;
  readonly kind: 'number' | 'factor';
  readonly columns: readonly {
    readonly label: string;
    readonly values: Float64Array;
    readonly average: number;
  }[];
}

/** One effect and where its columns stand in the design. */
export interface FixedEffect {
  readonly effect: string;
  readonly variables: readonly Variable[];
  readonly where: string;
  readonly columns: readonly { readonly index: number; readonly choice: readonly number[] }[];
}

export interface FixedColumns {
  readonly names: readonly string[];
  /** Column after column. */
  readonly values: Float64Array;
  readonly effects: readonly FixedEffect[];
}

/** What the rows that are kept hold for one column. */
export interface KeptData {
  readonly rows: number;
  numbers(column: string): Float64Array;
  texts(column: string): readonly string[];
  codes(column: string): CodedText;
  factor(column: string): Factor | null;
}

/** The variable behind a column: its levels' codes when it is a factor, itself when it is a number. */
export function variableOf(column: string, kept: KeptData): Variable {
  let made = variables.get(kept);
  if (!made) {
    made = new Map();
    variables.set(kept, made);
  }
  let variable = made.get(column);
  if (!variable) {
    variable = makeVariable(column, kept);
    made.set(column, variable);
  }
  return variable;
}

/** Each variable is made once for each set of kept rows: fixed and random terms often share it. */
const variables = new WeakMap<KeptData, Map<string, Variable>>();

function makeVariable(column: string, kept: KeptData): Variable {
  const factor = kept.factor(column);
  if (!factor)
    return {
      name: column,
      kind: 'number',
      columns: [{ label: column, values: kept.numbers(column), average: 0 }],
    };
  const levels = factor.levels.length;
  const codes = codesOf(factor.coding, levels);
  const { at, texts } = kept.codes(column);
  const place = texts.map((text) => factor.levels.indexOf(text));
  return {
    name: column,
    kind: 'factor',
    columns: factor.levels.slice(1).map((level, k) => {
      let average = 0;
      for (let l = 0; l < levels; l++) average += codes[l * (levels - 1) + k]! / levels;
      return {
        label: `${column}=${level}`,
        values: codedValues(
          at,
          place.map((l) => codes[l * (levels - 1) + k]!),
        ),
        average,
      };
    }),
  };
}

/** For each row the value of its code. */
export function codedValues(at: Int32Array, values: readonly number[]): Float64Array {
  const out = new Float64Array(at.length);
  for (let i = 0; i < out.length; i++) out[i] = values[at[i]!]!;
  return out;
}

/** Every combination of the variables' columns (the first varying fastest), with its name and its values. */
export function productColumns(
  variables: readonly Variable[],
  rows: number,
): { label: string; values: Float64Array; choice: number[] }[] {
  const [first, ...others] = variables;
  if (!first) return [{ label: '', values: new Float64Array(rows).fill(1), choice: [] }];
  let combined = first.columns.map(({ label, values }, c) => ({ label, values, choice: [c] }));
  for (const variable of others)
    combined = variable.columns.flatMap((column, c) =>
      combined.map(({ label, values, choice }) => ({
        label: `${label} x ${column.label}`,
        values: values.map((value, i) => value * column.values[i]!),
        choice: [...choice, c],
      })),
    );
  return combined;
}

/** The design of the fixed effects, or what stands in its way. */
export function fixedColumns(model: Model, kept: KeptData): FixedColumns | readonly ModelProblem[] {
  const problems: ModelProblem[] = [];
  const names: string[] = [];
  const columns: Float64Array[] = [];
  const effects: FixedEffect[] = [];
  const add = (effect: string, variables: readonly Variable[], where: string): void => {
    const placed = productColumns(variables, kept.rows).map(({ label, values, choice }) => {
      names.push(label);
      columns.push(values);
      return { index: names.length - 1, choice };
    });
    effects.push({ effect, variables, where, columns: placed });
  };
  const single = (name: string, values: Float64Array): Variable => ({
    name,
    kind: 'number',
    columns: [{ label: name, values, average: 0 }],
  });
  model.fixed.forEach((term, t) => {
    const where = `/fixed/${t}`;
    if (term === 'intercept') {
      names.push('intercept');
      columns.push(new Float64Array(kept.rows).fill(1));
      effects.push({
        effect: 'intercept',
        variables: [],
        where,
        columns: [{ index: names.length - 1, choice: [] }],
      });
    } else if ('product' in term) {
      add(
        term.product.join(' x '),
        term.product.map((column) => variableOf(column, kept)),
        where,
      );
    } else if ('power' in term) {
      const name = `${term.column}^${term.power}`;
      const values = kept.numbers(term.column).map((value) => value ** term.power);
      const bad = values.findIndex((value) => !Number.isFinite(value));
      if (bad >= 0)
        problems.push({
          kind: 'not-a-number',
          where: `${where}/power`,
          found: `${kept.numbers(term.column)[bad]} to the power ${term.power}`,
          expected: 'a number in every row',
          remedy: 'Choose a whole power above zero, or leave out the rows where the power does not exist.',
        });
      else add(name, [single(name, values)], where);
    } else if ('within' in term || 'between' in term) {
      const within = 'within' in term;
      const group = within ? term.within : term.between;
      const values = kept.numbers(term.column);
      const means = groupMeans(values, kept.texts(group));
      const name = `${term.column} ${within ? 'within' : 'between'} ${group}`;
      add(name, [single(name, within ? values.map((value, i) => value - means[i]!) : means)], where);
    } else if ('spline' in term) {
      addSpline(term, where);
    } else {
      add(term.column, [variableOf(term.column, kept)], where);
    }
  });

  function addSpline(
    term: Extract<FixedTerm<Record<string, unknown>>, { spline: unknown }>,
    where: string,
  ): void {
    const basis = naturalSplineColumns(kept.numbers(term.column), term.spline.degreesOfFreedom);
    if (!basis) {
      problems.push({
        kind: 'bad-model',
        where: `${where}/spline/degreesOfFreedom`,
        found: `${term.spline.degreesOfFreedom} degrees of freedom for a column whose quantiles coincide`,
        expected: 'more distinct values than bends',
        remedy: 'Ask for fewer degrees of freedom, or use the column as it stands.',
      });
      return;
    }
    const effect = `${term.column} spline`;
    const variable: Variable = {
      name: effect,
      kind: 'number',
      columns: basis.map((values, k) => ({ label: `${effect} ${k + 1}`, values, average: 0 })),
    };
    add(effect, [variable], where);
  }

  if (problems.length > 0) return problems;
  const values = new Float64Array(kept.rows * names.length);
  columns.forEach((column, j) => {
    values.set(column, j * kept.rows);
  });
  return { names, values, effects };
}

/** For each row the mean of its group. */
function groupMeans(values: Float64Array, groups: readonly string[]): Float64Array {
  const sums = new Map<string, { sum: number; count: number }>();
  groups.forEach((group, i) => {
    const entry = sums.get(group) ?? { sum: 0, count: 0 };
    entry.sum += values[i]!;
    entry.count++;
    sums.set(group, entry);
  });
  return Float64Array.from(groups, (group) => sums.get(group)!.sum / sums.get(group)!.count);
}
