/** The powers of the numbers of a plan in one product, in the order of `SumsPlan.numbers` and, last, the outcome. */
export type Exponents = readonly number[];

export const sameExponents = (a: Exponents, b: Exponents): boolean => a.every((power, k) => power === b[k]);

export const productOf = (a: Exponents, b: Exponents): Exponents => a.map((power, k) => power + b[k]!);

/** Everything that shifting the numbers makes of a product: all products of powers up to its own. */
export function powersUpTo(exponents: Exponents): Exponents[] {
  return exponents.reduce<number[][]>(
    (made, most) => Array.from({ length: most + 1 }, (_, power) => made.map((one) => [...one, power])).flat(),
    [[]],
  );
}

/** The products, each once, lower degrees first. */
export function ordered(list: readonly Exponents[]): Exponents[] {
  const degree = (exponents: Exponents) => exponents.reduce((sum, power) => sum + power, 0);
  const distinct = list.filter((one, i) => list.findIndex((other) => sameExponents(one, other)) === i);
  return distinct.sort((a, b) => degree(a) - degree(b));
}
