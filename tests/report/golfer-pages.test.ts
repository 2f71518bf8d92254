import { describe, expect, it } from 'vitest';
import { golferPages } from '../../src/report/golfer-pages/golfer-pages.ts';
import { golferWords } from '../../src/report/golfer-pages/golfer-words.ts';
import { reportFiles } from '../../src/report/index.ts';
import { finding, golfers, hostile, hostileFinding } from './fixture.ts';

/** Codes that occur nowhere by chance, and none of which is part of another. */
const code = (k: number): string => `code-${String(1000 + k)}-of-a-golfer`;
const named = {
  ...finding,
  tables: { ...finding.tables, golfers: golfers.map((own, k) => ({ ...own, golfer: code(k) })) },
  leftOut: [{ table: 'golfers', ids: [code(7)], count: 1, why: `${code(7)} left.` }],
  warnings: [`${code(3)} is far out.`],
  cautions: [`Without ${code(4)} the answer changes.`],
};
const pages = golferPages(named);

describe('a page for each golfer', () => {
  it('is written beside the report where asked for, each linked once from the list', () => {
    expect(Object.keys(reportFiles(named)).some((file) => file.startsWith('golfers/'))).toBe(false);
    const files = reportFiles(named, { golferPages: true });
    const own = Object.keys(files).filter((file) => file.startsWith('golfers/'));
    expect(own).toHaveLength(40);
    const links = [...files['golfers.html']!.matchAll(/<a href="(golfers\/[^"]*)"/g)].map(([, to]) => to);
    expect([...links].sort()).toEqual(own);
  });
  it('holds no byte of another golfer’s code', () => {
    for (let k = 0; k < 40; k++) {
      const page = pages[`golfers/golfer-${String(k + 1).padStart(2, '0')}.html`]!;
      const found = new Set(page.match(/code-\d+-of-a-golfer/g));
      expect([...found]).toEqual([code(k)]);
    }
  });
  it('is small, and has no script', () => {
    for (const page of Object.values(pages)) {
      expect(Buffer.byteLength(page)).toBeLessThan(60_000);
      expect(page).not.toMatch(/<script/);
    }
  });
  it('shows hostile codes as text, and takes no file name from them', () => {
    const nasty = golferPages(hostileFinding());
    expect(Object.keys(nasty).every((file) => /^golfers(\/golfer-\d\d)?\.html$/.test(file))).toBe(true);
    for (const page of Object.values(nasty)) {
      expect(page).not.toMatch(/<(script|img|b>G01)/);
      expect(page).not.toMatch(/[\u202a-\u202e\u2066-\u2069]/);
    }
    expect(nasty['golfers/golfer-01.html']).toContain('&lt;b&gt;G01&lt;/b&gt;');
    expect(
      Buffer.byteLength(
        nasty[`golfers/golfer-0${hostile.findIndex((text) => text.length > 9000) + 1}.html`]!,
      ),
    ).toBeLessThan(120_000);
  });
  it('has one only for studies of golfers', () => {
    expect(golferPages({ ...finding, study: 'noise' })).toEqual({});
  });
});

describe('what is said of one golfer', () => {
  const base = golfers[0]!;
  const one = { ...base, before: 71.04, after: 64.96, change: -6.08, swingsBefore: 10, swingsAfter: 1 };
  const words = (own: Partial<typeof base>): string => golferWords(finding, { ...one, ...own });
  it('gives both means, the difference, the best guess and where it lies', () => {
    expect(words({ shrunken: -5.5, interval: [-8.1, -3.2], chanceMeaningful: 0.964 })).toBe(
      'From 71.0° before (mean of 10 full swings) to 65.0° after (1 full swing): −6.1°. No swing is like the last, and some of this is chance: the best guess is −5.5° (interval −8.1 to −3.2°). The whole interval lies beyond 3°. The chance that the change matters is 96%.',
    );
  });
  it('says what the interval leaves out where no chance is given', () => {
    const said = words({ shrunken: -1, interval: [-2.5, 0.5], chanceMeaningful: null });
    expect(said).toContain('The whole interval lies within 3° of no change.');
    expect(said).toContain('less sure than the interval looks');
  });
  it('says so where there was nothing after or before', () => {
    expect(words({ after: null, change: null })).toBe(
      'No full swings were measured after, so a change cannot be told.',
    );
    expect(words({ before: null, change: null })).toContain('measured before');
  });
  it('gives the difference alone where nothing could be guessed', () => {
    expect(words({ shrunken: null, interval: null, chanceMeaningful: null })).toBe(
      'From 71.0° before (mean of 10 full swings) to 65.0° after (1 full swing): −6.1°.',
    );
  });
});
