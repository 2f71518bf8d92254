import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import { loadDataset, loadPlan } from '../../src/dataset/index.ts';
import { drillTrial, type Finding, studies } from '../../src/studies/index.ts';

const folder = fileURLToPath(new URL('../../synthetic/demo/', import.meta.url));
const truth = JSON.parse(readFileSync(`${folder}truth.json`, 'utf8')) as {
  drillEffect: Record<string, number>;
  retentionEffect: Record<string, number>;
};

describe('the demo cohort', () => {
  let finding: Finding;
  beforeAll(async () => {
    const [loaded, plan] = [await loadDataset(folder), await loadPlan(`${folder}plan.json`)];
    if (!loaded.valid || !plan.valid) throw new Error('the demo does not load');
    const outcome = drillTrial(loaded.value, { plan: plan.plan });
    if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
    finding = outcome.finding;
  });

  it('is answered with an interval that holds the planted effect, after the drill and at retention', () => {
    const planted = [
      ['effect', truth.drillEffect],
      ['retention', truth.retentionEffect],
    ] as const;
    for (const [key, effects] of planted) {
      const [low, high] = finding.estimates.find((entry) => entry.key === key)!.interval;
      expect(low).toBeLessThan(effects[finding.metric.column]!);
      expect(high).toBeGreaterThan(effects[finding.metric.column]!);
    }
  });
  it('says in its sentence what the numbers say', () => {
    const [main] = finding.estimates;
    const said = finding.answer.match(
      /ended ([\d.]+) deg further forward \(95% interval ([\d.]+) to ([\d.]+) deg\)/,
    )!;
    const decimals = said[1]!.split('.')[1]!.length;
    expect(said.slice(1)).toEqual([main!.value, ...main!.interval].map((value) => value!.toFixed(decimals)));
    expect(finding.verdict).toBe(
      main!.interval[0]! >= finding.smallestChange!.value ? 'meaningful' : 'cannot-tell',
    );
  });
  it('names its files with their hashes', () => {
    const files = finding.provenance.inputs.map((input) => input.file);
    expect(files).toEqual([...files].sort());
    expect(files).toContain('swings.csv');
    expect(finding.provenance.inputs.every((input) => /^[0-9a-f]{64}$/.test(input.sha256))).toBe(true);
    expect(finding.provenance.date).toMatch(/^\d{4}-\d\d-\d\d$/);
  });
  it('is what the registry runs under the name of the study', () => {
    expect(studies['drill-trial'].run).toBe(drillTrial);
  });
});
