import type { KeptData } from '../design/fixed-columns.ts';
import { type Exponents, powersUpTo, sameExponents } from './exponents.ts';
import type { SumsPlan } from './plan-sums.ts';
import type { CellSums } from './read-sums.ts';
import type { StandInRows } from './stand-in-rows.ts';

/** What is left of a column at less than this share of its spread is rounding error of the sums. */
const RESOLUTION = 1e-6;

/** A column of the model over the stand-in rows, and the length below which what is left of it is rounding error. */
export interface StandInColumn {
  readonly values: Float64Array;
  readonly resolution: number;
}

/** Makes the columns of a model over the stand-in rows of its cells. */
export interface ColumnMaker {
  /** A number for each cell times a product of numbers. */
  product(inCell: ArrayLike<number>, exponents: Exponents): StandInColumn;
  /** The mean of a number over each level of a group, and the number less it. */
  between(column: string, group: string): StandInColumn;
  within(column: string, group: string): StandInColumn;
}

/**
 * A product of numbers is, with each number its centre c plus the u whose sums are known, the polynomial
 * prod_k (c_k + u_k)^e_k; its coefficients meet the stand-in rows' values of the products of the u.
 *
 * @param cells places in `sums` of the cells the stand-in rows belong to
 */
export function columnMaker(
  plan: SumsPlan,
  sums: CellSums,
  cells: Int32Array,
  kept: Pick<KeptData, 'codes'>,
  rows: StandInRows,
): ColumnMaker {
  const { entries, cell, values } = rows;
  const basisPlace = (exponents: Exponents) =>
    plan.basis.findIndex((other) => sameExponents(other, exponents));
  const one = plan.basis[0]!;
  const product = (inCell: ArrayLike<number>, exponents: Exponents): StandInColumn => {
    const out = new Float64Array(entries);
    let square = 0;
    for (const powers of powersUpTo(exponents)) {
      const from = values[basisPlace(powers)]!;
      const leading = sameExponents(powers, exponents);
      for (let entry = 0; entry < entries; entry++) {
        let coefficient = inCell[cell[entry]!]!;
        for (let k = 0; k < powers.length; k++)
          if (exponents[k]! > powers[k]!)
            coefficient *=
              binomial(exponents[k]!, powers[k]!) *
              sums.centres[k]![cells[cell[entry]!]!]! ** (exponents[k]! - powers[k]!);
        const part = coefficient * from[entry]!;
        out[entry] = out[entry]! + part;
        if (leading) square += part * part;
      }
    }
    // A column that is constant in each cell has no sum of its own that could be in error.
    const resolution = sameExponents(exponents, one) ? 0 : RESOLUTION * Math.sqrt(square);
    return { values: out, resolution };
  };

  /** For each cell the mean, over the rows of its level of the group, of the number less the cell's centre. */
  const meansLessCentre = (column: string, group: string): Float64Array => {
    const k = plan.numbers.indexOf(column);
    const sum = sums.plain.get(k) ?? sums.sums[plan.sums.findIndex((s) => sameExponents(s, unit(k)))]!;
    const { at, texts } = kept.codes(group);
    const total = new Float64Array(texts.length);
    const count = new Float64Array(texts.length);
    // Centres may differ from cell to cell: all are taken from the first of the level.
    const base = new Float64Array(texts.length).fill(Number.NaN);
    cells.forEach((place, c) => {
      const level = at[c]!;
      const n = sums.counts[place]!;
      const centre = sums.centres[k]![place]!;
      if (Number.isNaN(base[level]!)) base[level] = centre;
      count[level] = count[level]! + n;
      total[level] = total[level]! + sum[place]! + n * (centre - base[level]!);
    });
    return Float64Array.from(cells, (place, c) => {
      const level = at[c]!;
      return total[level]! / count[level]! + (base[level]! - sums.centres[k]![place]!);
    });
  };
  const unit = (k: number): Exponents => one.map((_, other) => (other === k ? 1 : 0));
  return {
    product,
    between(column, group) {
      const centres = sums.centres[plan.numbers.indexOf(column)]!;
      const means = meansLessCentre(column, group);
      const { values: spread } = product(means, one);
      return {
        values: product(
          means.map((mean, c) => mean + centres[cells[c]!]!),
          one,
        ).values,
        resolution: RESOLUTION * length(spread),
      };
    },
    within(column, group) {
      const means = meansLessCentre(column, group);
      const from = values[basisPlace(unit(plan.numbers.indexOf(column)))]!;
      const { values: less } = product(means, one);
      return {
        values: from.map((value, entry) => value - less[entry]!),
        resolution: RESOLUTION * length(from),
      };
    },
  };
}

function length(values: Float64Array): number {
  return Math.sqrt(values.reduce((sum, value) => sum + value * value, 0));
}

function binomial(n: number, k: number): number {
  let value = 1;
  for (let i = 1; i <= k; i++) value = (value * (n - k + i)) / i;
  return value;
}
