import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { trialRows, type, untidy, writeRows } from './harness.ts';

describe('ask --golfer-pages', () => {
  it('is refused in words without a folder, and for a study that is not of golfers in two phases', async () => {
    const nowhere = await type('ask', 'drill-trial', '--data', 'roster', '--golfer-pages');
    expect(nowhere.exit).toBe(2);
    expect(nowhere.err).toContain('name a new folder with --out');
    const other = await type('ask', 'noise', '--data', 'roster', '--out', 'report', '--golfer-pages');
    expect(other.exit).toBe(2);
    expect(other.err).toContain('leave --golfer-pages out, or ask drill-trial');
  });

  it('makes no page for a minor without a guardian’s consent, and says so', async () => {
    const rows = trialRows({
      golfersPerArm: 4,
      swingsPerSession: 3,
      arms: ['drill', 'control'],
      value: untidy,
    });
    rows.golfers?.forEach((golfer, place) => {
      Object.assign(golfer, {
        age_band: place < 2 ? '12-15' : '30-39',
        consent_by: place === 1 ? 'guardian' : 'self',
      });
    });
    const data = await writeRows(rows);
    const report = join(data, '..', 'report');
    const words = ['--metric', 'shaft_lean_impact_deg', '--out', report, '--golfer-pages'];
    const { exit, err } = await type('ask', 'drill-trial', '--data', data, ...words);
    expect(exit).toBe(0);
    expect(err).toContain('No page was made for G01: minors for whom no guardian consented');
    expect(await readdir(join(report, 'golfers'))).toHaveLength(7);
  });
});
