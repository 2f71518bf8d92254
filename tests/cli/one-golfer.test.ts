import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { writeDataset } from '../../src/dataset/index.ts';
import { phased, round, seriesDataset } from '../studies/one-golfer/make-series.ts';
import { newFolder, type } from './harness.ts';

const dataset = seriesDataset([
  {
    golfer: 'G01',
    sessions: phased([
      ['baseline', round(5, 8)],
      ['training', round(9, 8)],
    ]),
  },
  {
    golfer: 'G02',
    sessions: phased([
      ['baseline', round(4, 6)],
      ['training', round(8, 10)],
    ]),
  },
]);

describe('ask one-golfer', () => {
  it('needs to know whom, and says who there is; several go with commas', async () => {
    const data = await newFolder();
    await writeDataset(data, dataset);
    const nobody = await type('ask', 'one-golfer', '--data', data);
    expect(nobody.exit).toBe(1);
    expect(nobody.err).toContain('G01, G02');
    expect(nobody.err).toContain('--golfer');
    const stranger = await type('ask', 'one-golfer', '--data', data, '--golfer', 'G99');
    expect([stranger.exit, stranger.err.includes("found 'G99'")]).toEqual([2, true]);

    const one = await type('ask', 'one-golfer', '--data', data, '--golfer', 'G02', '--json');
    expect(one.exit).toBe(0);
    const finding = JSON.parse(one.out);
    expect(finding).toMatchObject({
      study: 'one-golfer',
      design: { kind: 'phases', golfers: 1, sessions: 16 },
    });
    expect(finding.answer).toContain('of G02 was');

    const both = await type('ask', 'one-golfer', '--data', data, '--golfer', 'G01, G02');
    expect(both.exit).toBe(0);
    expect(both.out.replace(/\s+/g, ' ')).toContain('of G01 and G02 was');
  });
  it('refuses an option that another study would pass over in silence, and a size that is no number', async () => {
    const data = await newFolder();
    await writeDataset(data, dataset);
    const whole = await type('ask', 'drill-trial', '--data', data, '--golfer', 'G01', '--axis', 'percent');
    expect(whole.exit).toBe(2);
    expect(whole.err).toContain('leave --golfer out, or ask one-golfer');
    expect(whole.err).toContain('leave --axis out, or ask waveform');

    for (const size of ['abc', '-1', '1,5', '']) {
      const odd = await type('ask', 'noise', '--data', data, '--change', size);
      expect(odd.exit).toBe(2);
      expect(odd.err).not.toContain('NaN');
    }
  });
  it('writes the page with its figures and tables', async () => {
    const data = await newFolder();
    await writeDataset(data, dataset);
    const out = join(data, '..', 'report');
    expect((await type('ask', 'one-golfer', '--data', data, '--golfer', 'G01', '--out', out)).exit).toBe(0);
    expect((await readdir(out)).sort()).toEqual(
      expect.arrayContaining([
        'draw.csv',
        'draw.svg',
        'limits.csv',
        'one-golfer.html',
        'phases.csv',
        'sessions.csv',
        'sessions.svg',
      ]),
    );
  });
});
