import type { FixedTerm, Model } from '../contract.ts';
import { codesOf } from '../design/coding.ts';
import type { KeptData } from '../design/fixed-columns.ts';
import { naturalSplineColumns } from '../design/natural-spline.ts';

/** What each column is at one point: a number, or the level of a factor. */
export type Setting = Readonly<Record<string, number | string>>;

/**
 * The fixed columns of a model at one setting of its columns, in the order of the design. Unless the setting names
 * the term itself (`speed within golfer`), a column minus its group's mean is zero and its group's mean is the
 * column's own value.
 */
export function predictorRow(caller: string, model: Model, kept: KeptData, setting: Setting): Float64Array {
  const number = (column: string): number => {
    const value = setting[column];
    if (typeof value !== 'number' || !Number.isFinite(value))
      throw new Error(`${caller}: ${column} needs a number; found ${String(value)}`);
    return value;
  };
  const variable = (column: string): number[] => {
    const factor = kept.factor(column);
    if (!factor) return [number(column)];
    const level = factor.levels.indexOf(String(setting[column]));
    if (level < 0)
      throw new Error(
        `${caller}: ${column} needs one of ${factor.levels.join(', ')}; found ${String(setting[column])}`,
      );
    const width = factor.levels.length - 1;
    return Array.from(
      codesOf(factor.coding, factor.levels.length).subarray(level * width, (level + 1) * width),
    );
  };
  const named = (name: string, otherwise: () => number): number =>
    Object.hasOwn(setting, name) ? number(name) : otherwise();
  const columnsOf = (term: FixedTerm<Record<string, unknown>>): number[] => {
    if (term === 'intercept') return [1];
    if ('product' in term)
      return term.product
        .map(variable)
        .reduce((made, codes) => codes.flatMap((code) => made.map((value) => value * code)), [1]);
    if ('power' in term) return [number(term.column) ** term.power];
    if ('within' in term) return [named(`${term.column} within ${term.within}`, () => 0)];
    if ('between' in term)
      return [named(`${term.column} between ${term.between}`, () => number(term.column))];
    if ('spline' in term)
      return naturalSplineColumns(
        kept.numbers(term.column),
        term.spline.degreesOfFreedom,
        Float64Array.of(number(term.column)),
      )!.map((column) => column[0]!);
    return variable(term.column);
  };
  return Float64Array.from(model.fixed.flatMap(columnsOf));
}

/** The columns a model's fixed terms name: numbers, and factors with their levels. */
export function predictorColumns(model: Model, kept: KeptData) {
  const factors = new Map<string, readonly string[]>();
  const numbers = new Set<string>();
  for (const term of model.fixed) {
    if (term === 'intercept') continue;
    for (const column of 'product' in term ? term.product : [term.column]) {
      const factor = kept.factor(column);
      if (factor) factors.set(column, factor.levels);
      else numbers.add(column);
    }
  }
  return { factors, numbers };
}
