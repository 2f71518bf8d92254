import { describe, expect, it } from 'vitest';
import type { RowsInput } from '../../../src/dataset/index.ts';
import { reportFiles } from '../../../src/report/index.ts';
import { type Finding, type NoiseTables, noise, serialiseFinding } from '../../../src/studies/index.ts';
import { noiseCohort, noiseRows } from '../noise-cohort.ts';
import { datasetOf, simulatedTrial } from '../simulate.ts';

const PATH = { metric: 'shaft_lean_impact_deg' };
function answered(dataset: ReturnType<typeof datasetOf>, options: Parameters<typeof noise>[1] = PATH) {
  const outcome = noise(dataset, options);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  // Serialising refuses numbers that are not finite.
  serialiseFinding(outcome.finding);
  const { finding } = outcome;
  const left = finding.leftOut.filter(({ table }) => table === 'swings');
  expect(left.reduce((sum, { count }) => sum + count, 0) + finding.design.swings).toBe(
    dataset.tables.swings.length,
  );
  return finding;
}
const value = (finding: Finding<NoiseTables>, key: string) =>
  finding.estimates.find((estimate) => estimate.key === key);

describe('the noise study on cohorts of known truth', () => {
  const dataset = noiseCohort({ golfers: 30, sessions: 4, swings: 8 }, 3);

  it('finds the planted SDs within their intervals, and the detectable change that follows from them', () => {
    const finding = answered(dataset, { ...PATH, change: 3 });
    for (const [key, truth] of [
      ['sd-golfer', 4],
      ['sd-session', 1],
      ['sd-swing', 2],
      // Weir 2005: 1.96 x root 2 x root(1/4 + 4/32) and x root(1 + 4).
      ['detectable-now', 1.959964 * Math.SQRT2 * Math.sqrt(1 / 4 + 4 / 32)],
      ['detectable-one-swing', 1.959964 * Math.SQRT2 * Math.sqrt(5)],
    ] as const) {
      const [low, high] = value(finding, key)!.interval;
      expect(low, key).toBeLessThan(truth);
      expect(high, key).toBeGreaterThan(truth);
    }
    expect(finding.verdict).toBe('too-small-to-matter');
    expect(finding.tables.now).toEqual({ sessions: 4, swings: 8 });
    expect(finding.smallestChange).toMatchObject({ value: 3, from: 'asked' });
    expect(finding.checks.find(({ name }) => name === 'repeated sessions without teaching')?.outcome).toBe(
      'good',
    );
    expect(finding.tables.correlations.map(({ otherName }) => otherName)).toEqual([
      'ICC(1,1)',
      'ICC(2,1)',
      'ICC(3,1)',
      'ICC(1,k)',
      'ICC(2,k)',
      'ICC(3,k)',
    ]);
    // The reliability of means of all sessions and the one-way correlation of means are one number, reached two ways.
    const [oneWayMean] = finding.tables.correlations.filter(({ otherName }) => otherName === 'ICC(1,k)');
    expect(value(finding, 'reliability')!.value).toBeCloseTo(oneWayMean!.estimate!, 9);
    expect(value(finding, 'reliability')!.interval[0]).toBeCloseTo(oneWayMean!.interval![0], 9);
  });

  it('says that a small change is hidden, and how many swings would show a larger one', () => {
    const finding = answered(dataset, { ...PATH, change: 0.8 });
    expect(finding.verdict).toBe('meaningful');
    expect(finding.answer).toContain('cannot be told from noise');
    expect(finding.next?.join(' ')).toMatch(
      /\d+ sessions of \d+ swings? at each time would make a change of 0\.80? deg visible/,
    );
    // What is advised does what it says: by the same estimates, and no fewer swings do.
    const [, m, k] = /(\d+) sessions of (\d+) swing/.exec(finding.next!.join(' '))!.map(Number) as [
      number,
      number,
      number,
    ];
    const detectable = (sessions: number, swings: number) =>
      2.7718 *
      Math.sqrt(
        value(finding, 'sd-session')!.value! ** 2 / sessions +
          value(finding, 'sd-swing')!.value! ** 2 / (sessions * swings),
      );
    expect(detectable(m, k)).toBeLessThanOrEqual(0.8001);
    expect(detectable(m, k - 1)).toBeGreaterThan(0.8);
  });

  it('takes 0.2 of the SD between golfers where nobody says what matters', () => {
    const finding = answered(dataset);
    expect(finding.smallestChange!.from).toBe('default');
    expect(finding.smallestChange!.value).toBeCloseTo(0.2 * value(finding, 'sd-golfer')!.value!, 12);
  });

  it('sets two devices on the same swings against each other', () => {
    const two = noiseCohort({ golfers: 25, sessions: 3, swings: 6, second: { bias: 1.5, errorSd: 1 } }, 5);
    const { agreement, devices } = answered(two, { ...PATH, change: 5 }).tables;
    expect(agreement).toMatchObject({ first: 'one', second: 'two', pairs: 25 * 18, golfers: 25 });
    // Planted: one minus two is -1.5 with an SD of 1.
    expect(agreement!.meanInterval[0]).toBeLessThan(-1.5);
    expect(agreement!.meanInterval[1]).toBeGreaterThan(-1.5);
    expect(agreement!.sd).toBeGreaterThan(0.9);
    expect(agreement!.sd).toBeLessThan(1.1);
    expect(agreement!.lowerInterval[0]).toBeLessThan(-1.5 - 1.96);
    expect(agreement!.lowerInterval[1]).toBeGreaterThan(-1.5 - 1.96);
    expect(agreement!.together).toBeGreaterThan(0.8);
    expect(devices.map(({ device }) => device)).toEqual(['one', 'two']);
    expect(devices[1]!.swingSd!).toBeGreaterThan(devices[0]!.swingSd!);
  });

  it('sets two definitions on the same swings against each other', () => {
    const rows = noiseRows({ golfers: 12, sessions: 2, swings: 5 }, 9);
    const swings = rows.swings.map((row, i) => ({
      ...row,
      attack_angle_deg: (row as { shaft_lean_impact_deg: number }).shaft_lean_impact_deg - 2 + 0.1 * (i % 3),
    }));
    const finding = answered(datasetOf({ ...rows, swings } as unknown as RowsInput), {
      ...PATH,
      against: 'attack_angle_deg',
      change: 1,
    });
    expect(finding.design.kind).toBe('agreement');
    expect(value(finding, 'mean-difference')!.value).toBeCloseTo(1.9, 1);
    expect(finding.verdict).toBe('meaningful');
    expect(finding.provenance.definitions).toHaveLength(2);
  });

  it('gives the same bytes twice, and a page with its figures, tables and words', () => {
    const files = reportFiles(answered(dataset, { ...PATH, change: 3 }));
    const again = reportFiles(answered(dataset, { ...PATH, change: 3 }));
    expect(again).toEqual(files);
    expect(Object.keys(files)).toEqual(
      expect.arrayContaining([
        'noise.html',
        'detectable.svg',
        'variances.svg',
        'correlations.csv',
        'golfers.csv',
      ]),
    );
    const page = files['noise.html']!;
    expect(page).toContain('A change that matters can be seen');
    expect(page).toContain('in all six forms');
    expect(page.replaceAll(/<script[\s\S]*?<\/script>/g, '')).not.toMatch(/NaN|undefined|Infinity/);
    expect(page).toContain('--change 3');
  });
});

describe('what the noise study cannot tell', () => {
  it('one session each: swings alone, and cannot tell where they are quiet', () => {
    const finding = answered(noiseCohort({ golfers: 10, sessions: 1, swings: 8 }, 1), { ...PATH, change: 9 });
    expect(finding.design.kind).toBe('one-session');
    expect(finding.verdict).toBe('cannot-tell');
    expect(finding.warnings.join(' ')).toContain('the least it can be');
    expect(value(finding, 'sd-session')!.value).toBeNull();
    expect(finding.tables.detectable).toEqual([]);
  });

  it('one swing in each session: the noise of such a measurement, undivided', () => {
    const finding = answered(noiseCohort({ golfers: 12, sessions: 3, swings: 1 }, 2), {
      ...PATH,
      change: 30,
    });
    expect(value(finding, 'sd-swing')!.value).toBeNull();
    expect(value(finding, 'detectable-one-swing')!.value).toBeGreaterThan(0);
    expect(finding.verdict).toBe('too-small-to-matter');
    expect(finding.tables.detectable.every(({ swings }) => swings === 1)).toBe(true);
  });

  it('one swing in all for each golfer: cannot tell; values that never differ: refused in words', () => {
    const single = answered(noiseCohort({ golfers: 8, sessions: 1, swings: 1 }, 2), { ...PATH, change: 3 });
    expect(single.verdict).toBe('cannot-tell');
    expect(single.answer).toContain('every golfer has one swing');
    const flat = noise(noiseCohort({ golfers: 8, sessions: 3, swings: 4, sessionSd: 0, swingSd: 0 }, 2), {
      ...PATH,
      change: 3,
    });
    expect(flat.ok ? '' : flat.problems[0]!.found).toContain('one and the same value');
  });

  it('one golfer: noise, but no default of what matters', () => {
    const finding = answered(noiseCohort({ golfers: 1, sessions: 8, swings: 6 }, 4));
    expect(finding.verdict).toBe('cannot-tell');
    expect(finding.smallestChange).toBeNull();
    expect(finding.answer).toContain('nothing says how small');
    expect(value(finding, 'sd-golfer')!.value).toBeNull();
    expect(finding.cautions.join(' ')).toContain('Fewer than 5 golfers');
  });

  it('sessions of several phases only: golfers of the control, else what was learned counts as noise', () => {
    const trial = simulatedTrial(
      {
        golfersPerArm: 10,
        arms: [
          { arm: 'drill', effect: 3 },
          { arm: 'control', effect: 0 },
        ],
      },
      6,
    );
    const untaught = answered(trial, { ...PATH, change: 9 });
    expect(untaught.design).toMatchObject({ kind: 'untaught', golfers: 10 });
    expect(untaught.verdict).toBe('too-small-to-matter');
    const alone = simulatedTrial({ golfersPerArm: 10, arms: [{ arm: 'drill', effect: 3 }], changeSd: 3 }, 6);
    const taught = answered(alone, { ...PATH, change: 1 });
    expect(taught.design.kind).toBe('all');
    expect(taught.verdict).toBe('cannot-tell');
    expect(taught.answer).toContain('golfers were taught between these sessions');
  });

  it.each([
    [{ metric: 'release_onset_ms' }, 'release_onset_ms has no value'],
    [{ ...PATH, change: 0 }, 'a number above 0'],
    [{ ...PATH, change: Number.NaN }, 'a number above 0'],
    [{ ...PATH, against: 'shaft_lean_impact_deg' }, 'against itself'],
    [{ ...PATH, against: 'lean' }, "'lean' is not a metric"],
    [{ ...PATH, against: 'club_speed_mps' }, 'in m/s, against'],
    [{ ...PATH, against: 'attack_angle_deg' }, 'has no value'],
  ])('refuses %j in words', (options, words) => {
    const outcome = noise(noiseCohort({ golfers: 4, sessions: 2, swings: 2 }, 1), options);
    expect(outcome.ok).toBe(false);
    if (!outcome.ok)
      expect(outcome.problems.map((p) => `${p.found} ${p.expected}`).join(' ')).toContain(words);
  });
});
