import { freePositions } from '../linear/covariance-shape.ts';
import type { GeneralisedDesign } from './generalised-design.ts';
import { rowTerms } from './likelihood/likelihood.ts';
import type { MaximumLikelihood } from './maximum-likelihood.ts';
import type { RandomLayout } from './random/random-layout.ts';
import { thresholdParametersOf } from './threshold-parameters.ts';

/** SDs a search starts from stay between these. */
const LEAST_SD = 0.3;
const GREATEST_SD = 2;
/** (16 sqrt 3 / (15 pi))^2: see below. */
const SHRINKAGE = 0.346;

/**
 * A start from the maximum without random terms. A level's score s = sum z l' there has the variance w + w^2 sd^2 to
 * first order, w being its information, so that sd^2 is near sum (s^2 - w) / sum w^2; and on the logit scale
 * fixed effects without random terms are those with them divided by about sqrt(1 + 0.346 sd^2).
 * Sources: Zeger, Liang and Albert (1988), Biometrics 44, 1049-1060 (the factor); the moments as in score tests of
 * variance components, Lin (1997), Biometrika 84, 309-326. `stretch` multiplies the SDs.
 */
export function generalisedStart(
  { rows, likelihood, x, offset, terms, model, fixedNames }: GeneralisedDesign,
  { effect, perRow, effects, shape, terms: places }: RandomLayout,
  { at }: MaximumLikelihood,
  stretch: number,
): Float64Array {
  const cuts = likelihood.thresholds?.count ?? 0;
  const p = fixedNames.length;
  const eta = new Float64Array(rows);
  for (let i = 0; i < rows; i++) eta[i] = offset ? offset[i]! : 0;
  for (let k = 0; k < p; k++)
    for (let i = 0; i < rows; i++) eta[i] = eta[i]! + at[cuts + k]! * x[k * rows + i]!;
  const row = rowTerms(rows);
  likelihood.thresholds?.set(at.subarray(0, cuts));
  likelihood.evaluate(eta, row);
  const score = new Float64Array(effects);
  const information = new Float64Array(effects);
  terms.forEach(({ values, effects: names }, t) => {
    const q = names.length;
    for (let i = 0; i < rows; i++)
      for (let a = 0; a < q; a++) {
        const z = values[i * q + a]!;
        const j = effect[i * perRow + places[t]!.slot + a]!;
        score[j] = score[j]! + z * row.score[i]!;
        information[j] = information[j]! + z * z * row.weight[i]!;
      }
  });
  const start = new Float64Array(cuts + p + shape.starts.at(-1)!);
  let total = 0;
  shape.terms.forEach((term, t) => {
    freePositions(term).forEach(([a, c], e) => {
      if (a !== c) return;
      let excess = 0;
      let scale = 0;
      for (const first of places[t]!.first) {
        excess += score[first + a]! ** 2 - information[first + a]!;
        scale += information[first + a]! ** 2;
      }
      const variance = stretch ** 2 * Math.min(GREATEST_SD ** 2, Math.max(LEAST_SD ** 2, excess / scale));
      total += variance;
      start[cuts + p + shape.starts[t]! + e] = Math.sqrt(variance);
    });
  });
  const stretched = model.distribution === 'count' ? 1 : Math.sqrt(1 + SHRINKAGE * total);
  start.set(at.map((value) => stretched * value));
  start.set(thresholdParametersOf(start.slice(0, cuts)));
  return start;
}
