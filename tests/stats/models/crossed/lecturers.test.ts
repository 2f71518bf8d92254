/**
 * Lecturer ratings, 73,421 rows and four crossed factors, one of which does not vary at the optimum, against the shared
 * reference (lme4, its optimum polished; the data are too large to be committed).
 */
import { describe, expect, it } from 'vitest';
import { fitModel, type Model } from '../../../../src/stats/index.ts';
import { sharedReference } from '../../../reference/shared.ts';
import { readColumns, readPair, relative } from '../golden.ts';

const path = sharedReference('models/insteval_REML.json');

describe.skipIf(path === null)('lecturer ratings (needs the shared reference)', () => {
  it('agrees with the reference and says that departments do not vary', { timeout: 120_000 }, () => {
    const folder = path!.slice(0, path!.lastIndexOf('/'));
    const { model, data, expected } = readPair(folder, 'insteval_REML');
    // Degrees of freedom by Kenward and Roger are dear here and the factor is singular: the fit must say so, not hang.
    const asked: Model = { ...model, inference: { degreesOfFreedom: 'kenward-roger' } };
    const outcome = fitModel(asked, readColumns(`${folder}/${data}`));
    if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
    const { result } = outcome.fit;
    expect(result.diagnosis.converged).toBe(true);
    expect(result.diagnosis.boundary).toHaveLength(1);
    expect(result.diagnosis.boundary[0]).toContain('dept is estimated as zero');
    expect(result.diagnosis.notes.join(' ')).toContain('the normal distribution is used');
    for (const { degreesOfFreedom } of result.fixed) expect(degreesOfFreedom).toBeNull();
    expect(Math.abs(result.logLikelihood - expected.logLikelihood)).toBeLessThan(1e-6);
    expected.fixed.forEach((term, i) => {
      expect(relative(result.fixed[i]!.estimate, term.estimate)).toBeLessThan(1e-6);
      expect(relative(result.fixed[i]!.standardError, term.standardError)).toBeLessThan(1e-6);
    });
    expect(relative(result.residualSd, expected.residualSd)).toBeLessThan(1e-6);
    for (const [group, [[, sd]]] of Object.entries(expected.randomSd) as [string, [[string, number]]][]) {
      const found = result.random.find((term) => term.group === group.replace(':', ' / '))!.sd[0]!;
      if (sd === 0) expect(found).toBe(0);
      else expect(relative(found, sd)).toBeLessThan(1e-5);
    }
  });
});
