import type { BlockSystem } from './block-system.ts';
import type { NodeState } from './elimination.ts';

/** Conditional means and covariances of every node's random effects, in units of the residual SD. */
export interface ConditionalEffects {
  /** For each stage nodes x effects. */
  readonly means: readonly Float64Array[];
  /** For each stage nodes x effects x effects, given the fixed effects. */
  readonly covariances: readonly Float64Array[];
}

/**
 * Conditional means u = E(u | y) and Var(u | y) at given fixed effects `beta`, from the coarsest stage down: given
 * the nodes above, a node has the mean K (R_y - R_X beta - R_above u_above) and the covariance K. `nodes` must hold
 * the state of an elimination at the theta wanted.
 * Source: Henderson's mixed-model equations solved by the same block factor; Robinson (1991), Statistical
 * Science 6, 15-32.
 */
export function conditionalEffects(
  system: BlockSystem,
  nodes: NodeState,
  beta: Float64Array,
): ConditionalEffects {
  if (nodes.crossed) return nodes.crossed.conditionalEffects(beta);
  const { stages } = system;
  const p = beta.length;
  const means = stages.map(({ nodes: count, effects }) => new Float64Array(count * effects));
  const covariances = stages.map(({ nodes: count, effects }) => new Float64Array(count * effects * effects));
  /** Mean and covariance of a node together with all above it, for the stages that have one below. */
  const above: { mean: Float64Array; covariance: Float64Array }[][] = stages.map(() => []);
  for (let s = stages.length - 1; s >= 0; s--) {
    const { nodes: count, effects: q, width, parent } = stages[s]!;
    const up = width - q - p - 1;
    for (let node = 0; node < count; node++) {
      const block = nodes.blocks[s]!;
      const base = node * q * width;
      const K = nodes.conditional[s]!.subarray(node * q * q, (node + 1) * q * q);
      const higher = s + 1 < stages.length ? above[s + 1]![parent[node]!]! : null;
      const score = new Float64Array(q);
      for (let a = 0; a < q; a++) {
        const row = base + a * width + q;
        let sum = block[row + up + p]!;
        for (let c = 0; c < p; c++) sum -= block[row + up + c]! * beta[c]!;
        for (let c = 0; c < up; c++) sum -= block[row + c]! * higher!.mean[c]!;
        score[a] = sum;
      }
      const mean = means[s]!.subarray(node * q, (node + 1) * q);
      for (let a = 0; a < q; a++) for (let b = 0; b < q; b++) mean[a] = mean[a]! + K[a * q + b]! * score[b]!;
      const own = covariances[s]!.subarray(node * q * q, (node + 1) * q * q);
      own.set(K);
      // F = -K R_above carries the uncertainty of the nodes above: own += F C F', cross = F C.
      const cross = new Float64Array(q * up);
      if (up > 0) {
        const F = new Float64Array(q * up);
        for (let a = 0; a < q; a++)
          for (let b = 0; b < q; b++)
            for (let c = 0; c < up; c++)
              F[a * up + c] = F[a * up + c]! - K[a * q + b]! * block[base + b * width + q + c]!;
        for (let a = 0; a < q; a++)
          for (let c = 0; c < up; c++) {
            const x = F[a * up + c]!;
            if (x === 0) continue;
            for (let d = 0; d < up; d++)
              cross[a * up + d] = cross[a * up + d]! + x * higher!.covariance[c * up + d]!;
          }
        for (let a = 0; a < q; a++)
          for (let b = 0; b < q; b++)
            for (let c = 0; c < up; c++)
              own[a * q + b] = own[a * q + b]! + cross[a * up + c]! * F[b * up + c]!;
      }
      if (s === 0) continue;
      const size = q + up;
      const covariance = new Float64Array(size * size);
      for (let a = 0; a < q; a++) {
        for (let b = 0; b < q; b++) covariance[a * size + b] = own[a * q + b]!;
        for (let c = 0; c < up; c++) {
          covariance[a * size + q + c] = cross[a * up + c]!;
          covariance[(q + c) * size + a] = cross[a * up + c]!;
        }
      }
      for (let c = 0; c < up; c++)
        for (let d = 0; d < up; d++) covariance[(q + c) * size + q + d] = higher!.covariance[c * up + d]!;
      const joint = new Float64Array(size);
      joint.set(mean);
      if (higher) joint.set(higher.mean, q);
      above[s]!.push({ mean: joint, covariance });
    }
  }
  return { means, covariances };
}

/** Weights on fixed effects and on some nodes' random effects. */
export interface JointWeights {
  readonly fixed: Float64Array;
  /** For each stage, node -> weights of its effects. */
  readonly random: readonly ReadonlyMap<number, Float64Array>[];
}

/**
 * The weighted sum of estimated fixed and predicted random effects and the variance of its prediction error,
 * in units of the residual variance, by the forward solution of the mixed-model equations: only the
 * nodes named and those above them are visited.
 */
export function jointPrediction(
  system: BlockSystem,
  nodes: NodeState,
  solved: { readonly beta: Float64Array; readonly inverseInformation: Float64Array },
  weights: JointWeights,
): { value: number; variance: number } {
  if (nodes.crossed) return nodes.crossed.jointPrediction(solved, weights);
  const { stages } = system;
  const p = solved.beta.length;
  const left = Float64Array.from(weights.fixed);
  const open = weights.random.map(
    (map) => new Map([...map].map(([node, w]) => [node, Float64Array.from(w)])),
  );
  let value = 0;
  let variance = 0;
  stages.forEach(({ effects: q, width }, s) => {
    for (const [node, w] of open[s]!) {
      const block = nodes.blocks[s]!;
      const base = node * q * width;
      const K = nodes.conditional[s]!;
      const kw = new Float64Array(q);
      for (let a = 0; a < q; a++)
        for (let b = 0; b < q; b++) kw[a] = kw[a]! + K[node * q * q + a * q + b]! * w[b]!;
      for (let a = 0; a < q; a++) {
        variance += kw[a]! * w[a]!;
        const row = base + a * width;
        value += kw[a]! * block[row + width - 1]!;
        for (let c = 0; c < p; c++) left[c] = left[c]! - kw[a]! * block[row + width - 1 - p + c]!;
      }
      let at = stages[s]!.parent[node]!;
      let column = q;
      for (let t = s + 1; t < stages.length; t++) {
        const above = stages[t]!;
        let target = open[t]!.get(at);
        if (!target) {
          target = new Float64Array(above.effects);
          open[t]!.set(at, target);
        }
        for (let a = 0; a < q; a++)
          for (let c = 0; c < above.effects; c++)
            target[c] = target[c]! - kw[a]! * block[base + a * width + column + c]!;
        column += above.effects;
        at = above.parent[at]!;
      }
    }
  });
  for (let a = 0; a < p; a++) {
    value += left[a]! * solved.beta[a]!;
    for (let b = 0; b < p; b++) variance += left[a]! * solved.inverseInformation[a * p + b]! * left[b]!;
  }
  return { value, variance };
}
