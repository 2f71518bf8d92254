import { expect } from 'vitest';
import type { FitOutcome, FitResult } from '../../../../src/stats/index.ts';
import { relative } from '../golden.ts';

export function resultOf(outcome: FitOutcome): FitResult {
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.fit.result;
}

/**
 * What was asked for is 8 digits. Degrees of freedom come from second derivatives of the likelihood and are asked for to
 * 7; small numbers beside large ones of their kind are judged on the scale of the large.
 */
export function expectSameFit(found: FitResult, rows: FitResult, digits = 1e-8): void {
  const close = (a: number, b: number, scale = 0, bound = digits) => {
    if (Number.isNaN(b)) expect(a).toBeNaN();
    else expect(relative(a, b) < bound || Math.abs(a - b) < bound * scale, `${a} for ${b}`).toBe(true);
  };
  expect(found.observations).toBe(rows.observations);
  expect(found.groups).toEqual(rows.groups);
  expect(found.fixed.map(({ term }) => term)).toEqual(rows.fixed.map(({ term }) => term));
  found.fixed.forEach((term, i) => {
    const one = rows.fixed[i]!;
    close(term.estimate, one.estimate, one.standardError);
    close(term.standardError, one.standardError);
    if (one.degreesOfFreedom === null) expect(term.degreesOfFreedom).toBeNull();
    else close(term.degreesOfFreedom!, one.degreesOfFreedom, 0, 10 * digits);
    close(term.pValue, one.pValue, 0, 1e3 * digits);
    rows.fixed.forEach((other, j) => {
      close(found.covariance[i]![j]!, rows.covariance[i]![j]!, one.standardError * other.standardError);
    });
  });
  close(found.residualSd, rows.residualSd);
  rows.random.forEach((term, t) => {
    const one = found.random[t]!;
    expect(one.group).toBe(term.group);
    expect(one.effects).toEqual(term.effects);
    term.sd.forEach((sd, a) => {
      close(one.sd[a]!, sd);
      term.correlation[a]!.forEach((r, b) => {
        close(one.correlation[a]![b]!, r, 1);
      });
    });
  });
  close(found.logLikelihood, rows.logLikelihood, 1);
  close(found.criterion.value, rows.criterion.value, 1);
  close(found.aic, rows.aic, 1);
  close(found.bic, rows.bic, 1);
  expect(found.tests.map(({ effect }) => effect)).toEqual(rows.tests.map(({ effect }) => effect));
  found.tests.forEach((test, t) => {
    close(test.f, rows.tests[t]!.f, 1e-6);
    if (rows.tests[t]!.denominatorDf !== null)
      close(test.denominatorDf!, rows.tests[t]!.denominatorDf!, 0, 10 * digits);
  });
  expect(found.predictions?.length).toBe(rows.predictions?.length);
  found.predictions?.forEach((level, l) => {
    const one = rows.predictions![l]!;
    expect([level.group, level.level]).toEqual([one.group, one.level]);
    level.values.forEach((value, a) => {
      close(value, one.values[a]!, one.conditionalSd[a]!);
      close(level.conditionalSd[a]!, one.conditionalSd[a]!);
    });
  });
  expect(found.diagnosis.converged).toBe(rows.diagnosis.converged);
  expect(found.diagnosis.boundary).toEqual(rows.diagnosis.boundary);
}
