/**
 * Golfers of whom some changed instructor, slopes in both factors and a third factor crossed with them, against lme4
 * (lessons.R and lessons.json, with versions, beside the data). The reference's optimum is polished to a Newton step
 * of 1e-11; its degrees of freedom come from its own numerical derivatives.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { type Fit, fitModel, type Model } from '../../../../src/stats/index.ts';
import { MODELS, readColumns, relative } from '../golden.ts';

interface Row {
  readonly term: string;
  readonly estimate: number;
  readonly standardError: number;
  readonly degreesOfFreedom: number;
}
interface Expected {
  readonly fixed: readonly Row[];
  readonly kenwardRoger: readonly Row[];
  readonly residualSd: number;
  readonly random: readonly {
    readonly group: string;
    readonly effects: readonly string[] | string;
    readonly sd: readonly number[] | number;
    readonly correlation: readonly (readonly number[])[];
  }[];
  readonly logLikelihood: number;
  readonly modes: readonly {
    readonly group: string;
    readonly levels: readonly string[];
    readonly values: readonly (readonly number[])[];
    readonly variances: readonly (readonly number[])[];
  }[];
}

const folder = `${MODELS}crossed/`;
const expected: Expected = JSON.parse(readFileSync(`${folder}lessons.json`, 'utf8'));
const data = readColumns(`${folder}lessons.csv`);
const model = (degreesOfFreedom: 'satterthwaite' | 'kenward-roger'): Model => ({
  outcome: 'lean',
  fixed: ['intercept', { column: 'hours' }, { column: 'phase', levels: ['baseline', 'post'] }],
  random: [
    { group: 'golfer', effects: ['intercept', 'hours'] },
    { group: 'instructor', effects: ['intercept', 'hours'] },
    { group: 'course', effects: ['intercept'] },
  ],
  inference: { degreesOfFreedom },
});
function fitted(method: 'satterthwaite' | 'kenward-roger'): Fit {
  const outcome = fitModel(model(method), data, { predict: true });
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.fit;
}

describe('golfers, instructors and courses', () => {
  const { result } = fitted('satterthwaite');

  it('fixed effects, standard errors, variances and likelihood', () => {
    expect(result.diagnosis.converged).toBe(true);
    expect(Math.abs(result.logLikelihood - expected.logLikelihood)).toBeLessThan(1e-8);
    expect(relative(result.residualSd, expected.residualSd)).toBeLessThan(1e-8);
    expected.fixed.forEach((row, i) => {
      expect(result.fixed[i]!.term).toBe(row.term);
      expect(relative(result.fixed[i]!.estimate, row.estimate)).toBeLessThan(1e-8);
      expect(relative(result.fixed[i]!.standardError, row.standardError)).toBeLessThan(1e-8);
    });
    for (const { group, effects, sd, correlation } of expected.random) {
      const term = result.random.find((found) => found.group === group)!;
      expect(term.effects).toEqual([effects].flat());
      [sd].flat().forEach((value, a) => {
        expect(relative(term.sd[a]!, value)).toBeLessThan(1e-7);
      });
      if (term.effects.length > 1)
        expect(Math.abs(term.correlation[0]![1]! - correlation[0]![1]!)).toBeLessThan(1e-7);
    }
  });

  it.each([
    ['satterthwaite', expected.fixed],
    ['kenward-roger', expected.kenwardRoger],
  ] as const)('degrees of freedom: %s', (method, rows) => {
    const found = fitted(method).result.fixed;
    rows.forEach((row, i) => {
      expect(relative(found[i]!.standardError, row.standardError)).toBeLessThan(1e-6);
      expect(relative(found[i]!.degreesOfFreedom!, row.degreesOfFreedom)).toBeLessThan(1e-4);
    });
  });

  it('conditional effects of every level and their SDs', () => {
    for (const { group, levels, values, variances } of expected.modes)
      levels.forEach((level, l) => {
        const found = result.predictions!.find((row) => row.group === group && row.level === level)!;
        values[l]!.forEach((value, a) => {
          expect(Math.abs(found.values[a]! - value)).toBeLessThan(1e-7);
          const variance = variances.length === levels.length ? variances[l]![a]! : variances[a]![l]!;
          expect(relative(found.conditionalSd[a]!, Math.sqrt(variance))).toBeLessThan(1e-6);
        });
      });
  });
});
