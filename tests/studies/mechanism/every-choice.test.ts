import { describe, expect, it } from 'vitest';
import { datasetFromRows } from '../../../src/dataset/index.ts';
import { mechanismStudy } from '../../../src/studies/mechanism/mechanism.ts';
import { plantedRows } from './cohort.ts';

function curveOn(planted: Parameters<typeof plantedRows>[0], seed: number) {
  const made = datasetFromRows(plantedRows(planted, seed));
  if (!made.valid) throw new Error('the planted cohort does not pass its own check');
  const outcome = mechanismStudy.run(made.value, {});
  if (!outcome.ok) throw new Error(outcome.problems.map(({ found }) => found).join('; '));
  return { finding: outcome.finding, curve: mechanismStudy.everyChoice!(made.value, {}, outcome.finding) };
}

describe('the mechanism under every choice', () => {
  const { finding, curve } = curveOn({ golfers: 30, swings: 10, error: { elbow: 2 } }, 7);

  it('has the question as it was asked among its answers, with the estimate of the finding', () => {
    const asAsked = curve.rows.filter((row) => row.asAsked);
    expect(asAsked).toHaveLength(1);
    expect(asAsked[0]!.raw?.value).toBeCloseTo(finding.estimates[0]!.value!, 9);
    expect(asAsked[0]!.verdict).toBe(finding.verdict);
  });

  // Planted: slope -0.274 deg of lean per deg of elbow change inside golfers, so 2.74 deg per 10 deg of straightening.
  it('recovers the planted slope where error is corrected for, and less where it is left in', () => {
    const values = (corrected: string) =>
      curve.rows
        .filter(
          ({ chosen }) =>
            chosen.corrected === corrected && chosen.predictor === 'transition_elbow_change_deg',
        )
        .map((row) => row.raw!.value!);
    const mean = (list: readonly number[]) => list.reduce((sum, value) => sum + value, 0) / list.length;
    expect(Math.abs(mean(values('corrected')) - 2.74)).toBeLessThan(0.6);
    expect(mean(values('as-measured'))).toBeLessThan(0.85 * mean(values('corrected')));
    expect(curve.influences.find(({ choice }) => choice === 'corrected')!.spread).toBeGreaterThan(0);
  });

  it('offers no choice that changes nothing: no correction where no error is stated', () => {
    const { curve: plain } = curveOn({ golfers: 12, swings: 8 }, 3);
    expect(plain.choices.map(({ key }) => key)).not.toContain('corrected');
    expect(plain.rows.every(({ chosen }) => chosen.corrected === 'corrected')).toBe(true);
  });

  it('says of a cohort whose association lies only between golfers the same under every choice', () => {
    const { finding: none, curve: between } = curveOn(
      { golfers: 30, swings: 10, a: 0, b: 0, direct: 0, between: -0.6 },
      5,
    );
    expect(none.verdict).not.toBe('meaningful');
    expect(between.rows.every((row) => row.verdict !== 'meaningful')).toBe(true);
  });
});
