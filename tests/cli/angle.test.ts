import { mkdtempSync, readdirSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { FIVE_POINTS } from '../kinematics/angle/elbow-data.ts';
import { type } from './harness.ts';

const data = fileURLToPath(new URL('../reference/angles/isb_elbow.csv', import.meta.url));
const points = Object.entries(FIVE_POINTS)
  .map((entry) => entry.join('='))
  .join(',');
const angle = (...words: readonly string[]) =>
  type('angle', '--definition', 'isb-elbow', '--data', data, '--points', points, ...words);

describe('angle', () => {
  it('prints every step of a row for a person, with equations and sources, no line too long', async () => {
    const { exit, out } = await angle('--steps', '1');
    expect(exit).toBe(0);
    // The published angles of the row: tests/reference/angles/worked-examples.json.
    expect(out).toContain('flexion = atan2(-R12, R22) = atan2(0.280509, 0.959811) = 16.2912 deg');
    expect(out).toMatch(/-0\.892514 +-0\.280509 +0\.353176/);
    expect(out).toContain('J Biomech 38:981-992');
    expect(out).toContain('J Biomech Eng');
    expect(out).toMatch(/SD of 1 mm \(an\s+assumption/);
    expect(out).toContain('within 20 deg of straight');
    for (const line of out.split('\n')) expect(line.length).toBeLessThan(120);
  });

  it('gives steps, budget and comparison as one document, the series in it as without them', async () => {
    const whole = JSON.parse((await angle('--steps', '51', '--compare', '--json')).out);
    const plain = JSON.parse((await angle('--json')).out);
    expect(Object.keys(plain)).toEqual(['definition', 'series', 'warnings']);
    expect(whole.series).toEqual(plain.series);
    expect(whole.steps.steps.at(-3).value).toBe(plain.series[50].flexion_deg);
    expect(whole.budget).toMatchObject({
      row: 51,
      noise_mm: 1,
      noise: 'assumed',
      unit: { unit: 'm', from: 'lengths' },
    });
    expect(whole.comparison.definitions).toHaveLength(5);
    expect(whole.comparison.rows).toHaveLength(700);
  });

  it('puts the SD beside each angle when the noise is given', async () => {
    const { series, budget } = JSON.parse((await angle('--noise-mm', '2', '--steps', '51', '--json')).out);
    expect(budget).toMatchObject({ noise_mm: 2, noise: 'given' });
    expect(series[50].flexion_deg_sd).toBe(budget.angles[0].sd_deg);
  });

  it.each([
    [['--steps', '0'], 'a row from 1 to 700'],
    [['--steps', 'all'], '--steps'],
    [['--noise-mm', '-1'], 'a length above 0'],
    [['--noise-mm', 'some'], '--noise-mm'],
    [['--unit', 'furlong'], 'm, cm, mm, in'],
    [['--side', 'up'], 'right, left'],
    [['--definition', 'knee'], 'three-point-elbow, isb-elbow'],
  ])('refuses %j in words, as a wrong request', async (words, says) => {
    const { exit, err, out } = await angle(...words);
    expect(exit).toBe(2);
    expect(out).toBe('');
    expect(err).toContain(says);
    expect(err).not.toMatch(/Error|at .*\.ts/);
  });

  it('compares only where five points are given', async () => {
    const { exit, err } = await type(
      'angle',
      '--definition',
      'three-point-elbow',
      '--data',
      data,
      '--points',
      'shoulder=AcromionR,elbow=LateralEpicondyleR,wrist=UlnarStyloidR',
      '--compare',
    );
    expect(exit).toBe(2);
    expect(err).toContain('isb-elbow');
  });
});

describe('angle --published', () => {
  const folder = mkdtempSync(join(tmpdir(), 'angle-'));
  const printed = fileURLToPath(new URL('../../notebooks/data/elbow/published.json', import.meta.url));

  it('says whether the angle is reproduced, and writes its page into a new folder', async () => {
    const out = join(folder, 'report');
    const { exit, out: text } = await angle('--published', printed, '--out', out);
    expect(exit).toBe(0);
    expect(text).toContain('Yes: the ISB elbow angle');
    expect(readdirSync(out)).toEqual(expect.arrayContaining(['angle.html', 'finding.json', 'steps.csv']));
    const again = await angle('--published', printed, '--out', out);
    expect(again.exit).toBe(2);
  });

  it('prints the Finding', async () => {
    const finding = JSON.parse((await angle('--published', printed, '--noise-mm', '1', '--json')).out);
    expect(finding).toMatchObject({ study: 'angle', verdict: 'cannot-tell' });
    expect(finding.provenance.inputs.map(({ file }: { file: string }) => file)).toEqual([
      'isb_elbow.csv',
      'published.json',
    ]);
  });

  it('refuses what it cannot read, and ask sends you here', async () => {
    expect((await angle('--published', data)).err).toContain('flexion_deg');
    expect((await angle('--published', printed, '--tolerance-deg', 'none')).exit).toBe(2);
    const { exit, err } = await type('ask', 'angle', '--data', 'synthetic/demo');
    expect(exit).toBe(2);
    expect(err).toContain('use angle --definition');
  });
});
