import { readFileSync } from 'node:fs';
import { mkdtemp, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { sharedReference } from '../reference/shared.ts';
import { type } from './harness.ts';

const elbow = sharedReference('angles/isb_elbow.csv');
const swing = sharedReference('swing/real-swing.c3d');
const layout = sharedReference('swing/layout.json');
const POINTS =
  'shoulder=AcromionR,lateral_epicondyle=LateralEpicondyleR,medial_epicondyle=MedialEpicondyleR,radial_styloid=RadialStyloidR,ulnar_styloid=UlnarStyloidR';

describe.skipIf(elbow === null)('angle', () => {
  it('gives the ISB elbow of the reference series (Wu et al. 2005) at every row, within 1e-6 deg', async () => {
    const typed = await type(
      'angle',
      '--definition',
      'isb-elbow',
      '--data',
      elbow!,
      '--points',
      POINTS,
      '--json',
    );
    expect(typed.exit).toBe(0);
    const { series } = JSON.parse(typed.out) as {
      series: { flexion_deg: number; carrying_deg: number; pronation_deg: number }[];
    };
    const [header = '', ...lines] = readFileSync(elbow!, 'utf8').trim().split(/\r?\n/);
    const column = (name: string) => header.split(',').indexOf(name);
    expect(series).toHaveLength(lines.length);
    lines.forEach((line, row) => {
      const cells = line.split(',').map(Number);
      expect(Math.abs(series[row]!.flexion_deg - cells[column('isb_flexion_deg')]!)).toBeLessThan(1e-6);
      expect(Math.abs(series[row]!.carrying_deg - cells[column('isb_carry_deg')]!)).toBeLessThan(1e-6);
      expect(Math.abs(series[row]!.pronation_deg - cells[column('isb_pronation_deg')]!)).toBeLessThan(1e-6);
    });
  });

  it.each([
    ['elbow', '--points'],
    ['shoulder=AcromionR', 'lateral_epicondyle'],
    [POINTS.replace('AcromionR', 'Nowhere'), 'Nowhere'],
  ])('refuses the points %s in words', async (points, says) => {
    const typed = await type('angle', '--definition', 'isb-elbow', '--data', elbow!, '--points', points);
    expect(typed.exit).toBe(2);
    expect(typed.err).toContain(says);
  });
});

describe('inspect', () => {
  it('says at which frame and in which unit the points stood, to a tenth of a millimetre', async () => {
    const path = new URL('../../synthetic/swing/simulated/swing.c3d', import.meta.url).pathname;
    const typed = await type('inspect', path);
    expect(typed.exit).toBe(0);
    expect(typed.out).toContain('10 points, where each was at the first frame, in mm:');
    expect(typed.out).toMatch(/ {2}HED: -?\d+\.\d, -?\d+\.\d, -?\d+\.\d$/m);
    expect((await type('inspect', path, '--frame', '110')).out).toContain('at frame 110, in mm');
  });
});

describe.skipIf(swing === null || layout === null)('inspect and measure on the real swing', () => {
  it('says what the file holds, with its faults as warnings', async () => {
    const typed = await type('inspect', swing!, '--frame', '100', '--json');
    expect(typed.exit).toBe(0);
    // 514 frames at 107.5 Hz: the reference folder's own description of the file.
    const inspected = JSON.parse(typed.out) as { frames: number; rateHz: number; warnings: string[] };
    expect(inspected.frames).toBe(514);
    expect(inspected.rateHz).toBeCloseTo(107.5, 1);
    expect(inspected.warnings.length).toBeGreaterThan(0);
  });

  it('refuses a frame that is not there, as a wrong request', async () => {
    const typed = await type('inspect', swing!, '--frame', '515');
    expect(typed.exit).toBe(2);
    expect(typed.err).toContain('514');
  });

  it('measures the swing, its instants in order', async () => {
    const typed = await type('measure', '--capture', swing!, '--layout', layout!, '--json');
    expect(typed.exit).toBe(0);
    const { instants, swing: numbers } = JSON.parse(typed.out) as {
      instants: Record<string, number>;
      swing: Record<string, number | null>;
    };
    const order = ['address', 'takeaway', 'top', 'lead arm parallel', 'delivery', 'impact', 'full extension'];
    const times = order.map((name) => instants[name]!);
    expect(times).toEqual([...times].sort((a, b) => a - b));
    expect(new Set(times).size).toBe(order.length);
    expect(numbers.trail_elbow_flexion_top_deg!).toBeGreaterThan(
      numbers.trail_elbow_flexion_impact_deg! + 45,
    );
  });
});

describe('measure --against, on the simulated swing', () => {
  const swingFolder = 'synthetic/swing/simulated';
  const measured = async (against: unknown) => {
    const file = join(await mkdtemp(join(tmpdir(), 'proving-range-')), 'against.json');
    await writeFile(file, JSON.stringify(against));
    return type(
      'measure',
      '--capture',
      `${swingFolder}/swing.c3d`,
      '--layout',
      `${swingFolder}/layout.json`,
      '--against',
      file,
      '--json',
    );
  };
  const planted = JSON.parse(readFileSync(`${swingFolder}/truth.json`, 'utf8')) as {
    metrics: Record<string, number>;
  };

  it('says nothing of numbers that agree with what was planted', async () => {
    const { lag_top_deg, shaft_lean_impact_deg } = planted.metrics;
    const typed = await measured({ lag_top_deg, shaft_lean_impact_deg });
    expect(typed.err).toContain('agree');
    expect(typed.exit).toBe(0);
    expect(JSON.parse(typed.out).differences).toEqual([]);
  });

  it('says what a number in another unit or convention looks like', async () => {
    const typed = await measured({
      lag_impact_deg: 180 - planted.metrics.lag_impact_deg!,
      club_speed_mps: planted.metrics.club_speed_mps! / 0.44704,
    });
    expect(typed.exit).toBe(1);
    expect(JSON.parse(typed.out).differences).toHaveLength(2);
    expect(typed.err).toContain('the included angle');
    expect(typed.err).toContain('miles an hour');
  });

  it('refuses, all at once, columns that do not exist and values that are no numbers', async () => {
    const typed = await measured({ lean: 7, lag_top_deg: '93' });
    expect(typed.exit).toBe(2);
    expect(typed.err).toContain('"lean"');
    expect(typed.err).toContain('lag_top_deg: "93"');
  });
});
