import { gaussHermite } from './gauss-hermite.ts';
import type { GeneralisedDesign } from './generalised-design.ts';
import { rowTerms } from './likelihood/likelihood.ts';
import type { Mode } from './mode.ts';
import type { RandomLayout } from './random/random-layout.ts';

/** What quadrature puts in the place of Laplace's values, for one scalar effect for each level. */
export interface Quadrature {
  /** Minus the log likelihood at the mode as it stands; fills what follows. */
  evaluate(): number;
  /** Per row: scores averaged over the nodes, each weighing as its share of the integral; and times the effect there. */
  readonly score: Float64Array;
  readonly scoreTimesEffect: Float64Array;
  /** Per level: derivative of the value by the mode itself; zero with Laplace. */
  readonly pull: Float64Array;
  /** Per level: the factor of d log H / 2; one with Laplace. */
  readonly kept: Float64Array;
  addThresholdScore(out: Float64Array): void;
}

/**
 * Adaptive Gauss-Hermite quadrature. In each level with mode m and curvature H the nodes stand at
 * b_k = m + z_k / sqrt(H), and
 *   L = H^(-1/2) sum_k w_k exp(z_k^2 / 2) exp(-F(b_k)),
 * which is absolute: no constant is left out.
 * Sources: Liu and Pierce (1994), Biometrika 81, 624-629; Pinheiro and Bates (1995), J Comput Graph Statist 4, 12-35.
 */
export function quadrature(
  { rows, likelihood }: GeneralisedDesign,
  { effects, effect, pattern }: RandomLayout,
  mode: Mode,
  points: number,
): Quadrature {
  const { nodes, weights } = gaussHermite(points);
  const { b, eta, columns, factor } = mode;
  const there = rowTerms(rows);
  const etaThere = new Float64Array(rows);
  const spread = new Float64Array(effects);
  /** effects x points: log of each node's part, then its share. */
  const share = new Float64Array(effects * points);
  const rowShare = new Float64Array(rows);
  const score = new Float64Array(rows);
  const scoreTimesEffect = new Float64Array(rows);
  const pull = new Float64Array(effects);
  const kept = new Float64Array(effects);
  const slope = new Float64Array(effects);

  const visit = (k: number): void => {
    for (let i = 0; i < rows; i++) etaThere[i] = eta[i]! + columns[i]! * spread[effect[i]!]! * nodes[k]!;
    likelihood.evaluate(etaThere, there);
  };
  const effectAt = (j: number, k: number): number => b[j]! + spread[j]! * nodes[k]!;
  const shareOfRows = (k: number): void => {
    for (let i = 0; i < rows; i++) rowShare[i] = share[effect[i]! * points + k]!;
  };

  return {
    score,
    scoreTimesEffect,
    pull,
    kept,
    evaluate() {
      for (let j = 0; j < effects; j++) spread[j] = 1 / factor.entries[pattern.start[j]!]!;
      for (let k = 0; k < points; k++) {
        visit(k);
        const base = Math.log(weights[k]!) + 0.5 * nodes[k]! * nodes[k]!;
        for (let j = 0; j < effects; j++) share[j * points + k] = base - 0.5 * effectAt(j, k) ** 2;
        for (let i = 0; i < rows; i++) {
          const at = effect[i]! * points + k;
          share[at] = share[at]! + there.value[i]!;
        }
      }
      let value = 0;
      for (let j = 0; j < effects; j++) {
        const at = j * points;
        let largest = Number.NEGATIVE_INFINITY;
        for (let k = 0; k < points; k++) largest = Math.max(largest, share[at + k]!);
        let sum = 0;
        for (let k = 0; k < points; k++) sum += Math.exp(share[at + k]! - largest);
        for (let k = 0; k < points; k++) share[at + k] = Math.exp(share[at + k]! - largest) / sum;
        value -= largest + Math.log(sum) + Math.log(spread[j]!);
      }
      score.fill(0);
      scoreTimesEffect.fill(0);
      pull.fill(0);
      kept.fill(1);
      for (let k = 0; k < points; k++) {
        visit(k);
        for (let j = 0; j < effects; j++) slope[j] = effectAt(j, k);
        for (let i = 0; i < rows; i++) {
          const j = effect[i]!;
          const weighed = share[j * points + k]! * there.score[i]!;
          score[i] = score[i]! + weighed;
          scoreTimesEffect[i] = scoreTimesEffect[i]! + weighed * effectAt(j, k);
          slope[j] = slope[j]! - columns[i]! * there.score[i]!;
        }
        for (let j = 0; j < effects; j++) {
          const weighed = share[j * points + k]! * slope[j]!;
          pull[j] = pull[j]! + weighed;
          kept[j] = kept[j]! - spread[j]! * nodes[k]! * weighed;
        }
      }
      return value;
    },
    addThresholdScore(out) {
      for (let k = 0; k < points; k++) {
        visit(k);
        shareOfRows(k);
        likelihood.thresholds!.addScore(rowShare, out);
      }
    },
  };
}
