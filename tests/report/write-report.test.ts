import { mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Papa from 'papaparse';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { reportFiles, writeReport } from '../../src/report/index.ts';
import { serialiseFinding } from '../../src/studies/index.ts';
import { finding, golfers, hostileFinding } from './fixture.ts';

let folder = '';
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'report-'));
});
afterAll(() => rm(folder, { recursive: true }));

describe('writeReport', () => {
  it('writes the page, the Finding, the tables and the figures into a new folder', async () => {
    const out = join(folder, 'a', 'new');
    const { page, files } = await writeReport(out, finding);
    expect(page).toBe('drill-trial.html');
    expect((await readdir(out)).sort()).toEqual([...files]);
    expect(files).toEqual([
      'dose.csv',
      'dose.svg',
      'drill-trial.html',
      'estimate.svg',
      'estimates.csv',
      'finding.json',
      'flow.csv',
      'golfers.csv',
      'golfers.svg',
      'groups.csv',
      'groups.svg',
      'panels.svg',
    ]);
    expect(await readFile(join(out, 'finding.json'), 'utf8')).toBe(serialiseFinding(finding));
  });

  it('leaves a folder that holds something as it is', async () => {
    const out = join(folder, 'full');
    await writeReport(out, finding);
    await writeFile(join(out, 'drill-trial.html'), 'mine');
    await expect(writeReport(out, finding)).rejects.toThrow(/exists already/);
    expect(await readFile(join(out, 'drill-trial.html'), 'utf8')).toBe('mine');
  });
});

describe('reportFiles', () => {
  const files = reportFiles(finding);

  it('gives every golfer in the table, with or without a change, to full precision', () => {
    const rows = Papa.parse<Record<string, string>>(files['golfers.csv'] as string, {
      header: true,
      skipEmptyLines: true,
    }).data;
    expect(rows).toHaveLength(40);
    for (const [k, row] of rows.entries()) {
      const own = golfers[k];
      expect(row.golfer).toBe(own?.golfer);
      expect(row['change observed (deg)']).toBe(own?.change === null ? '' : String(own?.change));
      expect(row['low (deg)']).toBe(own?.interval === null ? '' : String(own?.interval[0]));
    }
  });
  it('is the same bytes for the same Finding', () => {
    expect(reportFiles(structuredClone(finding))).toEqual(files);
  });
  it('writes no spreadsheet formula and no file name from the data', () => {
    const nasty = reportFiles(hostileFinding());
    expect(Object.keys(nasty).every((name) => /^[a-z0-9.-]+$/.test(name))).toBe(true);
    for (const [name, text] of Object.entries(nasty)) {
      if (!name.endsWith('.csv')) continue;
      for (const row of Papa.parse<string[]>(text).data) {
        for (const cell of row) if (!/^-?[\d.e-]+$/.test(cell)) expect(cell).not.toMatch(/^\s*[=+\-@]/);
      }
    }
  });
  it('refuses a study whose name could not be a file name', () => {
    expect(() => reportFiles({ ...finding, study: '../x' })).toThrow(/reportFiles: the study/);
  });
});
