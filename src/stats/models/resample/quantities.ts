import { solveUpper } from '../../../numerics/index.ts';
import type { Design } from '../design/design.ts';
import type { Optimum } from '../linear/optimum.ts';
import { congruent } from '../linear/random-estimates.ts';

/** One number that a model estimates. */
export type Quantity =
  | { readonly kind: 'fixed'; readonly term: string }
  | { readonly kind: 'sd'; readonly group: string; readonly effect: string }
  | { readonly kind: 'correlation'; readonly group: string; readonly effects: readonly [string, string] }
  | { readonly kind: 'residual-sd' };

/** A weighted sum of fixed effects, by term. */
export interface WeightedSum {
  readonly kind: 'sum';
  readonly weights: Readonly<Record<string, number>>;
}

/**
 * Every number a model estimates, in this order: fixed effects; for each random term its SDs, then the correlations of
 * its effects (second with first, third with first, third with second...); the residual SD.
 */
export function quantitiesOf(design: Design): Quantity[] {
  return [
    ...design.fixedNames.map((term): Quantity => ({ kind: 'fixed', term })),
    ...design.terms.flatMap(({ group, effects, kind }): Quantity[] => [
      ...effects.map((effect): Quantity => ({ kind: 'sd', group, effect })),
      ...effects.flatMap((one, a) =>
        kind === 'full'
          ? effects
              .slice(0, a)
              .map((other): Quantity => ({ kind: 'correlation', group, effects: [other, one] }))
          : [],
      ),
    ]),
    { kind: 'residual-sd' },
  ];
}

/** The words by which a quantity is named: `Days`, `SD of Days across Subject`. */
export function nameOf(quantity: Quantity | WeightedSum): string {
  switch (quantity.kind) {
    case 'fixed':
      return quantity.term;
    case 'sd':
      return `SD of ${quantity.effect} across ${quantity.group}`;
    case 'correlation':
      return `correlation of ${quantity.effects.join(' and ')} across ${quantity.group}`;
    case 'residual-sd':
      return 'residual SD';
    case 'sum':
      return Object.entries(quantity.weights)
        .map(([term, weight]) => `${weight} x ${term}`)
        .join(' + ');
  }
}

/**
 * The place of a quantity among `quantities`.
 * Throws when it is none of them.
 */
export function placeOf(quantities: readonly Quantity[], wanted: Quantity): number {
  const name = nameOf(wanted);
  const swapped =
    wanted.kind === 'correlation'
      ? nameOf({ ...wanted, effects: [wanted.effects[1], wanted.effects[0]] })
      : name;
  const at = quantities.findIndex((quantity) => [name, swapped].includes(nameOf(quantity)));
  if (at < 0)
    throw new Error(
      `placeOf: the model does not estimate ${name}; it estimates ${quantities.map(nameOf).join(', ')}.`,
    );
  return at;
}

/** Where an outcome stands against the coordinates of the fit: see `Design`. */
export interface OutcomeFrame {
  readonly start: Float64Array;
  readonly scale: number;
}

/** Writes the estimates at an optimum to `out` from `to` on, in the order of `quantitiesOf`. */
export function writeEstimates(
  design: Design,
  frame: OutcomeFrame,
  optimum: Optimum,
  degrees: number,
  out: Float64Array,
  to: number,
): void {
  const p = design.fixedNames.length;
  const { beta, residualSum } = optimum.evaluation;
  for (let a = 0; a < p; a++) out[to + a] = beta[a]!;
  solveUpper(design.upper, p, out, to);
  for (let a = 0; a < p; a++) out[to + a] = frame.start[a]! + frame.scale * out[to + a]!;
  const residualSd = frame.scale * Math.sqrt(residualSum / degrees);
  let at = to + p;
  design.terms.forEach(({ effects, toModel, kind }, t) => {
    const q = effects.length;
    const inner = design.assembled.shape.covariance(optimum.theta, design.assembled.shapeTerm[t]!);
    const covariance = congruent(toModel, inner, q);
    const first = at;
    for (let a = 0; a < q; a++) out[at++] = Math.sqrt(Math.max(0, covariance[a * q + a]!)) * residualSd;
    if (kind !== 'full') return;
    for (let a = 0; a < q; a++)
      for (let b = 0; b < a; b++) {
        const product = (out[first + a]! * out[first + b]!) / (residualSd * residualSd);
        out[at++] = product > 0 ? Math.max(-1, Math.min(1, covariance[a * q + b]! / product)) : 0;
      }
  });
  out[at] = residualSd;
}
