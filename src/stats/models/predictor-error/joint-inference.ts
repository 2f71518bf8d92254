import {
  type Differences,
  FINE_STEP,
  inverseOfPositiveDefinite,
  slopeAlong,
  solveUpper,
} from '../../../numerics/index.ts';
import type { Design } from '../design/design.ts';
import { bilinear, type Inference } from '../inference/inference.ts';
import { satterthwaiteDegrees, satterthwaiteTests } from '../inference/satterthwaite.ts';
import { fixedDegreesOfFreedom } from '../inference/wald-test.ts';
import type { JointData } from './joint-data.ts';
import type { JointPoint } from './joint-likelihood.ts';

export interface JointInference {
  /** Fixed effects as named, in the units of the data. */
  readonly coefficients: Float64Array;
  readonly inference: Inference;
  readonly point: JointPoint;
  readonly notes: readonly string[];
}

/**
 * Fixed effects with their covariance: the coefficients' own at fixed variables plus what the estimation of the
 * variables (the slopes among them) adds through the derivative of the coefficients. Degrees of freedom are
 * Satterthwaite's for the calibrated regression, the variances of the predictor and its slopes being among the
 * parameters that are estimated; without measurement error they are those of the ordinary model.
 */
export function jointInference(
  design: Design,
  data: JointData,
  at: Float64Array,
  { here, along, hessian }: Differences<JointPoint>,
): JointInference {
  const { otherCount: p, otherIndex, terms, upper, outcomeScale, predictorScale, rows } = data;
  const k = terms.length;
  const m = p + k;
  const total = at.length;
  const notes: string[] = [];
  const spread = inverseOfPositiveDefinite(hessian, total)?.map((value) => 2 * value) ?? null;
  if (!spread)
    notes.push(
      'The curvature of the likelihood at the optimum is not that of a minimum: standard errors take the variances as known, and the residual degrees of freedom are used.',
    );
  const slopeOf = (of: (point: JointPoint) => number) =>
    along.map((points) => slopeAlong(points.map(of), FINE_STEP));

  // Other coefficients on the outcome, then the slopes.
  const joint = new Float64Array(m * m);
  const carried = Array.from({ length: m }, (_, a) =>
    a < p
      ? Float64Array.from(slopeOf(({ coefficients }) => coefficients[p + a]!))
      : Float64Array.from({ length: total }, (__, i) => (i === a - p ? 1 : 0)),
  );
  for (let a = 0; a < m; a++)
    for (let b = 0; b < m; b++) {
      const own = a < p && b < p ? here.coefficientCovariance[(p + a) * 2 * p + p + b]! : 0;
      joint[a * m + b] = spread
        ? own + bilinear(carried[a]!, spread, carried[b]!)
        : here.calibrated[(p + a) * (2 * p + k) + p + b]!;
    }

  // Row by row: the effect as named out of the fitted ones.
  const width = m;
  const lead = new Float64Array(m * width);
  for (let j = 0; j < p; j++) {
    const column = new Float64Array(p);
    column[j] = outcomeScale;
    solveUpper(upper, p, column);
    for (let l = 0; l < p; l++) lead[otherIndex[l]! * width + j] = column[l]!;
  }
  terms.forEach(({ index }, t) => {
    lead[index * width + p + t] = outcomeScale / predictorScale;
  });
  const fitted = Float64Array.of(...here.coefficients.subarray(p), ...at.subarray(0, k));
  const rowOf = (index: number) => lead.subarray(index * width, (index + 1) * width);
  const coefficients = Float64Array.from({ length: m }, (_, index) =>
    rowOf(index).reduce((sum, value, a) => sum + value * fitted[a]!, 0),
  );
  const covariance = Float64Array.from({ length: m * m }, (_, i) =>
    bilinear(rowOf(Math.floor(i / m)), joint, rowOf(i % m)),
  );

  const method = design.model.inference?.degreesOfFreedom ?? 'satterthwaite';
  const single = (contrast: Float64Array): number => {
    const weights = new Float64Array(2 * p + k);
    for (let index = 0; index < m; index++)
      for (let a = 0; a < m; a++)
        weights[p + a] = weights[p + a]! + contrast[index]! * lead[index * width + a]!;
    const variance = (point: JointPoint) => bilinear(weights, point.calibrated, weights);
    return satterthwaiteDegrees(variance(here), Float64Array.from(slopeOf(variance)), spread!);
  };
  const inference =
    method === 'satterthwaite' && spread
      ? satterthwaiteTests(covariance, m, single)
      : fixedDegreesOfFreedom(covariance, method === 'normal' ? null : rows - m);
  return { coefficients, inference, point: here, notes };
}
