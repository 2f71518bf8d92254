import type { ConditionalEffects, JointWeights } from '../conditional-effects.ts';
import type { CrossedSystem } from './crossed-system.ts';
import type { FrontFactor } from './front-factor.ts';
import type { ScaledProducts } from './scaled-products.ts';

/** Conditional means and joint predictions from the factor of a crossed system as it stands. */
export interface CrossedState {
  conditionalEffects(beta: Float64Array): ConditionalEffects;
  jointPrediction(
    solved: { readonly beta: Float64Array; readonly inverseInformation: Float64Array },
    weights: JointWeights,
  ): { value: number; variance: number };
}

/**
 * With B = Z'[X y], u = Lambda M^-1 Lambda' (B_y - B_X beta) and Var(u | y) = Lambda M^-1 Lambda'. A combination of
 * fixed effects (weights f) and random ones (w) has, with c = M^-1 Lambda' w, the prediction error variance
 * w' Lambda c + g' (X' V^-1 X)^-1 g, g = f - B_X' Lambda c, in units of the residual variance.
 * Source: Henderson (1975), Biometrics 31, 423-447.
 */
export function crossedState(
  { stages, trailing: D, tree }: CrossedSystem,
  products: ScaledProducts,
  factor: FrontFactor,
  /** The covariance factors of the last elimination. */
  factors: readonly Float64Array[],
  inverseBlocks: () => Float64Array,
): CrossedState {
  const size = tree.effects;
  const p = D - 1;
  const positionOf = positions(stages, tree.position);
  const outcomes = (): Float64Array => {
    const B = new Float64Array(size * D);
    products.outcomes(B);
    return B;
  };
  /** x = Lambda M^-1 Lambda' x. */
  const shrink = (x: Float64Array): void => {
    products.scale(x, 1, factors, true);
    factor.forward(x, 1);
    factor.backward(x, 1);
    products.scale(x, 1, factors, false);
  };
  return {
    conditionalEffects(beta) {
      const B = outcomes();
      const u = new Float64Array(size);
      for (let k = 0; k < size; k++) {
        let sum = B[k * D + p]!;
        for (let a = 0; a < p; a++) sum -= B[k * D + a]! * beta[a]!;
        u[k] = sum;
      }
      shrink(u);
      const inverse = inverseBlocks();
      let from = 0;
      const means: Float64Array[] = [];
      const covariances: Float64Array[] = [];
      stages.forEach(({ nodes, effects: q }, s) => {
        const mean = new Float64Array(nodes * q);
        const covariance = new Float64Array(nodes * q * q);
        const lambda = factors[s]!;
        for (let node = 0; node < nodes; node++, from += q * q) {
          const at = positionOf(s, node);
          for (let a = 0; a < q; a++) {
            mean[node * q + a] = u[at + a]!;
            for (let b = 0; b < q; b++) {
              let sum = 0;
              for (let k = 0; k <= a; k++)
                for (let l = 0; l <= b; l++)
                  sum += lambda[a * q + k]! * inverse[from + k * q + l]! * lambda[b * q + l]!;
              covariance[(node * q + a) * q + b] = sum;
            }
          }
        }
        means.push(mean);
        covariances.push(covariance);
      });
      return { means, covariances };
    },
    jointPrediction({ beta, inverseInformation }, weights) {
      const w = new Float64Array(size);
      weights.random.forEach((nodes, s) => {
        for (const [node, values] of nodes) w.set(values, positionOf(s, node));
      });
      const c = Float64Array.from(w);
      shrink(c);
      const B = outcomes();
      const left = Float64Array.from(weights.fixed);
      let value = 0;
      let variance = 0;
      for (let k = 0; k < size; k++) {
        variance += w[k]! * c[k]!;
        value += c[k]! * B[k * D + p]!;
        for (let a = 0; a < p; a++) left[a] = left[a]! - c[k]! * B[k * D + a]!;
      }
      for (let a = 0; a < p; a++) {
        value += left[a]! * beta[a]!;
        for (let b = 0; b < p; b++) variance += left[a]! * inverseInformation[a * p + b]! * left[b]!;
      }
      return { value, variance };
    },
  };
}

/** Where the first effect of a stage's node stands. */
export function positions(
  stages: CrossedSystem['stages'],
  position: Int32Array,
): (stage: number, node: number) => number {
  const first: number[] = [];
  let levels = 0;
  for (const { nodes } of stages) {
    first.push(levels);
    levels += nodes;
  }
  return (stage, node) => position[first[stage]! + node]!;
}
