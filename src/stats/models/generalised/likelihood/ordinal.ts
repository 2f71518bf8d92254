import type { Likelihood } from './likelihood.ts';

/** A row whose predictor lies farther from the first threshold counts as impossible: it ends a step that was too long. */
const FARTHEST = 300;

/**
 * Ordered categories 0...c with logit P(category <= j) = threshold_j - eta (cumulative logit).
 *
 * With F the logistic function and a category between the thresholds lo < hi,
 *   log(F(hi - eta) - F(lo - eta)) = log F(hi - eta) + log F(eta - lo) + log(1 - exp(lo - hi)),
 * so every derivative by eta is that of two yes/no rows, and the last term does not depend on eta. All three terms
 * are concave. Source of the model: McCullagh (1980), J R Statist Soc B 42, 109-142.
 */
export function ordinalLikelihood(category: Int32Array, categories: number): Likelihood {
  const rows = category.length;
  const count = categories - 1;
  const cut = new Float64Array(count);
  /** For each category: log(1 - exp(-gap)), its slope and its curvature by the gap. */
  const spacing = new Float64Array(categories);
  const spacingSlope = new Float64Array(categories);
  const spacingCurvature = new Float64Array(categories);
  /** exp of the threshold minus the first, and its inverse. */
  const grown = new Float64Array(count);
  const shrunken = new Float64Array(count);
  const inCategory = new Float64Array(categories);
  for (let i = 0; i < rows; i++) inCategory[category[i]!] = inCategory[category[i]!]! + 1;
  /** F(hi - eta), 1 - F(hi - eta), F(lo - eta), 1 - F(lo - eta). */
  const below = new Float64Array(rows);
  const above = new Float64Array(rows);
  const lowBelow = new Float64Array(rows);
  const lowAbove = new Float64Array(rows);
  return {
    rows,
    constant: 0,
    thresholds: {
      count,
      set(thresholds) {
        cut.set(thresholds);
        for (let k = 0; k < count; k++) {
          grown[k] = Math.exp(cut[k]! - cut[0]!);
          shrunken[k] = Math.exp(cut[0]! - cut[k]!);
        }
        for (let k = 1; k < count; k++) {
          const gap = cut[k]! - cut[k - 1]!;
          const growth = Math.expm1(gap);
          spacing[k] = Math.log(-Math.expm1(-gap));
          spacingSlope[k] = 1 / growth;
          spacingCurvature[k] = -(1 + 1 / growth) / growth;
        }
      },
      scoreShift(thresholds, out) {
        for (let i = 0; i < rows; i++) {
          const k = category[i]!;
          let shift = 0;
          if (k < count) shift += below[i]! * above[i]! * (thresholds[k]! - cut[k]!);
          if (k > 0) shift += lowBelow[i]! * lowAbove[i]! * (thresholds[k - 1]! - cut[k - 1]!);
          out[i] = shift;
        }
      },
      addScore(weights, out) {
        for (let i = 0; i < rows; i++) {
          const k = category[i]!;
          const weight = weights ? weights[i]! : 1;
          if (k < count) out[k] = out[k]! + weight * (above[i]! + spacingSlope[k]!);
          if (k > 0) out[k - 1] = out[k - 1]! - weight * (lowBelow[i]! + (k < count ? spacingSlope[k]! : 0));
        }
      },
      addBend(byWeight, byScore, out) {
        for (let i = 0; i < rows; i++) {
          const k = category[i]!;
          if (k < count) {
            const w = below[i]! * above[i]!;
            out[k] = out[k]! + w * (byWeight[i]! * (above[i]! - below[i]!) + byScore[i]!);
          }
          if (k > 0) {
            const w = lowBelow[i]! * lowAbove[i]!;
            out[k - 1] = out[k - 1]! + w * (byWeight[i]! * (lowAbove[i]! - lowBelow[i]!) + byScore[i]!);
          }
        }
      },
      addInformation(x, columns, out, width) {
        for (let i = 0; i < rows; i++) {
          const k = category[i]!;
          if (k < count) {
            const w = below[i]! * above[i]!;
            out[k * width + k] = out[k * width + k]! + w;
            for (let j = 0; j < columns; j++) {
              const at = (count + j) * width + k;
              out[at] = out[at]! - w * x[j * rows + i]!;
            }
          }
          if (k > 0) {
            const w = lowBelow[i]! * lowAbove[i]!;
            out[(k - 1) * width + k - 1] = out[(k - 1) * width + k - 1]! + w;
            for (let j = 0; j < columns; j++) {
              const at = (count + j) * width + k - 1;
              out[at] = out[at]! - w * x[j * rows + i]!;
            }
          }
        }
        for (let k = 1; k < count; k++) {
          const curvature = inCategory[k]! * spacingCurvature[k]!;
          out[k * width + k] = out[k * width + k]! - curvature;
          out[(k - 1) * width + k - 1] = out[(k - 1) * width + k - 1]! - curvature;
          out[k * width + k - 1] = out[k * width + k - 1]! + curvature;
        }
      },
    },
    evaluate(eta, { value, score, weight, bend }) {
      for (let i = 0; i < rows; i++) {
        const k = category[i]!;
        const x = eta[i]! - cut[0]!;
        if (!(Math.abs(x) < FARTHEST)) {
          value[i] = Number.NEGATIVE_INFINITY;
          continue;
        }
        const odds = Math.exp(x);
        let product = 1;
        let v = 0;
        let s = 0;
        let w = 0;
        let b = 0;
        if (k < count) {
          const ratio = odds * shrunken[k]!;
          const p = 1 / (1 + ratio);
          const q = ratio * p;
          below[i] = p;
          above[i] = q;
          product = 1 + ratio;
          s = -q;
          w = p * q;
          b = w * (p - q);
        }
        if (k > 0) {
          const ratio = grown[k - 1]! / odds;
          const q = 1 / (1 + ratio);
          const p = ratio * q;
          lowBelow[i] = p;
          lowAbove[i] = q;
          product *= 1 + ratio;
          const pq = p * q;
          s += p;
          w += pq;
          b += pq * (p - q);
          if (k < count) v = spacing[k]!;
        }
        value[i] = v - Math.log(product);
        score[i] = s;
        weight[i] = w;
        bend[i] = b;
      }
    },
  };
}
