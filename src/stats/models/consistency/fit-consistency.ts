import { chiSquaredUpper, minimiseByDifferences } from '../../../numerics/index.ts';
import type { DataColumns, ModelProblem } from '../contract.ts';
import { type ConsistencyData, consistencyData } from './consistency-data.ts';
import type { ConsistencyModel, ConsistencyOutcome } from './consistency-model.ts';
import { describeConsistency } from './describe-consistency.ts';
import { spreadLikelihood } from './spread-likelihood.ts';

/** A gain in log likelihood below this is none: the levels do not differ in spread. */
const NO_GAIN = 1e-6;

/**
 * Fits a model in which each level of a group (each golfer) has a mean and a residual SD of its own, by maximum
 * likelihood (spread-likelihood.ts). Effects of the spread are on the logarithm of the residual SD: exp(effect) is a
 * ratio of SDs. Estimates have standard errors from the curvature of the likelihood in all parameters and normal
 * intervals; each level's own SD has an interval that holds both what its rows leave unknown and the uncertainty
 * of the estimates (Kass and Steffey 1989, JASA 84, 717-726, first order). Where the data give no sign
 * that levels differ in spread, the result says so and gives the model in which they do not.
 * Whether they differ: Stram and Lee (1994), Biometrics 50, 1171-1177.
 *
 * @example
 * const model = { outcome: 'Reaction', fixed: ['intercept'], spread: { fixed: ['intercept'] }, group: 'Subject' };
 * const outcome = fitConsistency(model, sleep);
 * outcome.ok && outcome.result.predictions.length // 18: a residual SD for each subject
 */
export function fitConsistency<Row = Record<string, unknown>>(
  model: ConsistencyModel<Row>,
  data: DataColumns,
): ConsistencyOutcome {
  const plain = model as unknown as ConsistencyModel;
  const { quadraturePoints = 21, level = 0.95 } = plain;
  const wrong = settingProblems(quadraturePoints, level);
  if (wrong.length > 0) return { ok: false, problems: wrong };
  const read = consistencyData(plain, data);
  if (!('rows' in read)) return { ok: false, problems: read };
  const likelihood = spreadLikelihood(read, quadraturePoints);
  const equal = minimiseByDifferences(likelihood, equalStart(read));
  const differing = minimiseByDifferences(likelihood, differingStart(read, equal.at));
  const gain = equal.differences.value - differing.differences.value;
  const differ = gain > NO_GAIN;
  const statistic = differ ? gain : 0;
  const { outcome, combine } = describeConsistency(read, differ ? differing : equal, differ, level);
  return {
    ok: true,
    combine,
    result: {
      ...outcome,
      differInSpread: {
        logLikelihoodIfNot: -equal.differences.value / 2,
        statistic,
        pValue: differ ? 0.5 * chiSquaredUpper(statistic, 1) + 0.5 * chiSquaredUpper(statistic, 2) : 1,
      },
    },
  };
}

function settingProblems(quadraturePoints: number, level: number): ModelProblem[] {
  const problems: ModelProblem[] = [];
  if (!Number.isInteger(quadraturePoints) || quadraturePoints < 3 || quadraturePoints > 101)
    problems.push({
      kind: 'bad-model',
      where: '/quadraturePoints',
      found: String(quadraturePoints),
      expected: 'a whole number from 3 to 101',
      remedy: 'Leave it out: 21 points serve almost always.',
    });
  if (!(level > 0 && level < 1))
    problems.push({
      kind: 'bad-model',
      where: '/level',
      found: String(level),
      expected: 'a number between 0 and 1',
      remedy: 'Use 0.95 for 95 % intervals.',
    });
  return problems;
}

/** Levels alike in spread: the spread's constant from least squares, means that differ by half a residual SD. */
function equalStart({ rows, groups, mean, spread }: ConsistencyData): Float64Array {
  return Float64Array.from({ length: mean.size + spread.size + 1 }, (_, i) =>
    i === mean.size + spread.size ? 0.5 * Math.sqrt(rows / groups.length) : 0,
  );
}

/** From levels alike, with a spread effect of SD 0.2 that hangs together a little with the mean. */
function differingStart({ mean, spread }: ConsistencyData, equal: Float64Array): Float64Array {
  const at = mean.size + spread.size;
  return Float64Array.of(...equal.subarray(0, at), Math.abs(equal[at]!) + 0.05, 0.05, Math.log(0.2));
}
