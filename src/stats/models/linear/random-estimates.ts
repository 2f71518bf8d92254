import { symmetricEigen } from '../../../numerics/index.ts';
import type { RandomEstimate } from '../contract.ts';
import type { RandomColumns } from '../design/random-columns.ts';
import type { CovarianceShape } from './covariance-shape.ts';

/** The random terms as the model names them, and where each stands in the covariance shape. */
export interface EstimatedTerms {
  readonly terms: readonly RandomColumns[];
  readonly assembled: { readonly shape: CovarianceShape; readonly shapeTerm: readonly number[] };
}

/** A T' of square matrices, row-major: T A T'. */
export function congruent(t: Float64Array, a: Float64Array, q: number): Float64Array {
  const half = new Float64Array(q * q);
  const out = new Float64Array(q * q);
  for (let i = 0; i < q; i++)
    for (let k = 0; k < q; k++)
      for (let j = 0; j < q; j++) half[i * q + j] = half[i * q + j]! + t[i * q + k]! * a[k * q + j]!;
  for (let i = 0; i < q; i++)
    for (let j = 0; j < q; j++)
      for (let k = 0; k < q; k++) out[i * q + j] = out[i * q + j]! + half[i * q + k]! * t[j * q + k]!;
  return out;
}

/** SDs and correlations of each random term in the outcome's unit, and what stands at a boundary, in words. */
export function randomEstimates(
  design: EstimatedTerms,
  optimum: { readonly theta: Float64Array; readonly ranks: readonly number[] },
  residualSd: number,
): { random: RandomEstimate[]; boundary: string[] } {
  const { shape, shapeTerm } = design.assembled;
  const boundary: string[] = [];
  const random = design.terms.map((term, t): RandomEstimate => {
    const q = term.effects.length;
    const inner = shape.covariance(optimum.theta, shapeTerm[t]!);
    const covariance = congruent(term.toModel, inner, q);
    const largest = symmetricEigen(inner, q).values[q - 1]!;
    const sd = term.effects.map((_, a) => {
      let reach = 0;
      for (let k = 0; k < q; k++) reach += term.toModel[a * q + k]! ** 2;
      const variance = covariance[a * q + a]!;
      return variance > 1e-14 * reach * Math.max(largest, 1e-6) ? Math.sqrt(variance) * residualSd : 0;
    });
    const correlation = term.effects.map((_, a) =>
      term.effects.map((__, b) => {
        if (a === b) return 1;
        if (sd[a] === 0 || sd[b] === 0 || term.kind === 'diagonal') return 0;
        const r = (covariance[a * q + b]! / (sd[a]! * sd[b]!)) * residualSd * residualSd;
        return Math.abs(r) > 1 - 1e-11 ? Math.sign(r) : r;
      }),
    );
    boundary.push(
      ...boundaryWords(term.group, term.effects, term.kind, sd, correlation, optimum.ranks[shapeTerm[t]!]!),
    );
    return { group: term.group, effects: term.effects, sd, correlation };
  });
  return { random, boundary };
}

/** What stands at a boundary of one term's covariance, which has `rank` dimensions, in words. */
export function boundaryWords(
  group: string,
  effects: readonly string[],
  kind: 'full' | 'diagonal',
  sd: readonly number[],
  correlation: readonly (readonly number[])[],
  rank: number,
): string[] {
  const q = effects.length;
  if (rank === q) return [];
  const words: string[] = [];
  effects.forEach((effect, a) => {
    if (sd[a] === 0)
      words.push(
        `The variance of ${effect} across ${group} is estimated as zero: the levels differ no more than the rest of the variation alone would make them.`,
      );
  });
  const varying = effects.filter((_, a) => sd[a]! > 0).length;
  if (kind === 'diagonal' || varying <= rank) return words;
  const pairs: string[] = [];
  for (let a = 0; a < q; a++)
    for (let b = a + 1; b < q; b++) {
      const r = correlation[a]![b]!;
      if (Math.abs(r) === 1) pairs.push(`${effects[a]} and ${effects[b]} (${r > 0 ? 'plus' : 'minus'} 1)`);
    }
  words.push(
    pairs.length > 0
      ? `Across ${group} the correlation of ${pairs.join(', of ')} is estimated at its limit: the data do not hold enough to tell these effects apart.`
      : `The ${q} effects of ${group} are estimated to vary in only ${rank} independent ${rank === 1 ? 'direction' : 'directions'}: the data do not hold enough to tell them apart.`,
  );
  return words;
}
