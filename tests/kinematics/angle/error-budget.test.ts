import { describe, expect, it } from 'vitest';
import {
  budgetOf,
  type ErrorBudget,
  isbElbow,
  type PointTable,
  seriesOf,
  threePointElbow,
  type Vector,
} from '../../../src/kinematics/index.ts';
import { createStream } from '../../../src/numerics/index.ts';
import { csvOf, FIVE_POINTS, isbTable, tableOf, threeTable } from './elbow-data.ts';

function budget(table: PointTable, row: number, noise_mm: number): ErrorBudget {
  const result = budgetOf(table, row, noise_mm);
  if (!result.ok) throw new Error(JSON.stringify(result.problems));
  return result.value;
}

const DRAWS = 20_000;

/** Mean shift and SD of every angle when each marker coordinate is drawn anew, each draw worked through in full. */
function drawn(table: PointTable, row: number, noise_mm: number, seed: number) {
  const stream = createStream(seed);
  const markers = table.rows[row - 1]!;
  const at = (): ((name: string) => Vector) => {
    const moved = new Map(
      [...markers].map(([name, p]) => [
        name,
        p.map((c) => c + stream.normal(0, noise_mm / 1000)) as unknown as Vector,
      ]),
    );
    return (name) => moved.get(name)!;
  };
  const middle = (a: Vector, b: Vector): Vector => a.map((c, k) => (c + b[k]!) / 2) as unknown as Vector;
  const anglesOf = (p: (name: string) => Vector): number[] => {
    const [shoulder, lateral_epicondyle, medial_epicondyle, radial_styloid, ulnar_styloid] = Object.values(
      FIVE_POINTS,
    ).map((name) => (markers.has(name) ? p(name) : ([0, 0, 0] as Vector))) as [
      Vector,
      Vector,
      Vector,
      Vector,
      Vector,
    ];
    if (table.definition === 'three-point-elbow')
      return [
        threePointElbow({
          shoulder,
          elbow: middle(lateral_epicondyle, medial_epicondyle),
          wrist: ulnar_styloid,
        }).flexion_deg,
      ];
    const e = isbElbow({ shoulder, lateral_epicondyle, medial_epicondyle, radial_styloid, ulnar_styloid });
    return [e.flexion_deg, e.carrying_deg, e.pronation_deg];
  };
  const truth = anglesOf((name) => markers.get(name)!);
  const sums = truth.map(() => [0, 0]);
  for (let i = 0; i < DRAWS; i++)
    anglesOf(at()).forEach((value, k) => {
      const d = value - truth[k]!;
      sums[k]![0]! += d;
      sums[k]![1]! += d * d;
    });
  return sums.map(([sum, squares]) => {
    const mean = sum! / DRAWS;
    return { bias: mean, sd: Math.sqrt(squares! / DRAWS - mean * mean) };
  });
}

describe('the error budget against drawing the noise itself', () => {
  // The SD of 20,000 draws is known to half a per cent; 3 % is six times that.
  it.each([
    ['ISB, bent by 99 deg', isbTable, 51, 2],
    ['ISB, bent by 31 deg', isbTable, 41, 2],
    ['ISB, 3 deg from straight', isbTable, 31, 2],
    ['three points, bent by 99 deg', threeTable, 51, 5],
    ['three points, bent by 33 deg', threeTable, 41, 2],
  ] as const)('%s', (_what, table, row, noise_mm) => {
    const stated = budget(table(), row, noise_mm);
    const seen = drawn(table(), row, noise_mm, 11);
    stated.angles.forEach(({ sd_deg, bias_deg, firstOrderHolds }, k) => {
      expect(sd_deg / seen[k]!.sd).toBeGreaterThan(0.97);
      expect(sd_deg / seen[k]!.sd).toBeLessThan(1.03);
      expect(Math.abs(bias_deg - seen[k]!.bias)).toBeLessThan(
        (4 * seen[k]!.sd) / Math.sqrt(DRAWS) + 0.02 * seen[k]!.sd,
      );
      expect(firstOrderHolds).toBe(true);
    });
  });

  it('says where it fails: three points so near straight that noise can only bend them', () => {
    const table = tableOf({
      definition: 'three-point-elbow',
      points: { shoulder: 'S', elbow: 'E', wrist: 'W' },
      csvBytes: csvOf([[0, 0.3, 0, 0, 0, 0, 0.001, -0.25, 0]]),
    });
    const { angles, nearlyStraight } = budget(table, 1, 2);
    expect(nearlyStraight).toBe(true);
    expect(angles[0]!.value_deg).toBeCloseTo((Math.atan2(1, 250) * 180) / Math.PI, 10);
    expect(angles[0]!.firstOrderHolds).toBe(false);
    expect(angles[0]!.bias_deg).toBeGreaterThan(0.2 * angles[0]!.sd_deg);
  });
});

describe('the parts of an error budget', () => {
  it('are all markers and axes, sum to the whole, and scale with the noise', () => {
    const [one, two] = [budget(isbTable(), 51, 1), budget(isbTable(), 51, 2)];
    one.angles.forEach(({ entries, sd_deg }, k) => {
      expect(entries).toHaveLength(15);
      expect(entries.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 12);
      expect(Math.hypot(...entries.map((entry) => entry.sd_deg))).toBeCloseTo(sd_deg, 12);
      expect(two.angles[k]!.sd_deg).toBeCloseTo(2 * sd_deg, 12);
    });
  });

  // Known by hand: moving the wrist by d across a forearm of length l turns it by d / l.
  it('have the slopes of a right angle', () => {
    const table = tableOf({
      definition: 'three-point-elbow',
      points: { shoulder: 'S', elbow: 'E', wrist: 'W' },
      csvBytes: csvOf([[0, 0.3, 0, 0, 0, 0, 0.25, 0, 0]]),
    });
    const [flexion] = budget(table, 1, 1).angles;
    const slope = (marker: string, axis: string): number =>
      flexion!.entries.find((entry) => entry.marker === marker && entry.axis === axis)!.slope_deg_per_mm;
    const deg = 180 / Math.PI;
    expect(slope('W', 'y')).toBeCloseTo(deg / 250, 6);
    expect(slope('W', 'x')).toBeCloseTo(0, 9);
    expect(slope('S', 'x')).toBeCloseTo(deg / 300, 6);
    expect(slope('E', 'x')).toBeCloseTo(-deg / 300, 6);
    expect(slope('E', 'y')).toBeCloseTo(-deg / 250, 6);
    expect(flexion!.sd_deg).toBeCloseTo(deg * Math.hypot(1 / 300, 1 / 250) * Math.SQRT2, 6);
  });

  it('do not depend on the unit of the table, which is told from the length of the arm', () => {
    const row = [0, 0.3, 0, 0, 0, 0, 0.2, -0.1, 0.05];
    const sds = [1, 100, 1000].map((scale) => {
      const table = tableOf({
        definition: 'three-point-elbow',
        points: { shoulder: 'S', elbow: 'E', wrist: 'W' },
        csvBytes: csvOf([row.map((v) => v * scale)]),
      });
      expect(table.unit).toEqual({ unit: scale === 1 ? 'm' : scale === 100 ? 'cm' : 'mm', from: 'lengths' });
      return budget(table, 1, 1).angles[0]!.sd_deg;
    });
    expect(sds[1]).toBeCloseTo(sds[0]!, 9);
    expect(sds[2]).toBeCloseTo(sds[0]!, 9);
  });

  it('stand beside every angle of a series, as the budget of its row gives them', () => {
    const table = isbTable();
    const series = seriesOf(table, 1.5);
    if (!series.ok) throw new Error('no series');
    const row = series.value.series[50] as unknown as Record<string, number>;
    for (const { angle, sd_deg } of budget(table, 51, 1.5).angles) expect(row[`${angle}_sd`]).toBe(sd_deg);
  });

  it('of a left arm have the slopes along the axes of the table', () => {
    const row = [0.02, 0.3, 0, -0.03, 0, 0.01, 0.03, 0, -0.01, 0.2, -0.05, -0.06, 0.18, -0.08, -0.02];
    const names = ['S', 'L', 'M', 'A', 'U'];
    const points = {
      shoulder: 'S',
      lateral_epicondyle: 'L',
      medial_epicondyle: 'M',
      radial_styloid: 'A',
      ulnar_styloid: 'U',
    };
    const mirrored = row.map((v, k) => (k % 3 === 2 ? -v : v));
    const [right, left] = [
      tableOf({ definition: 'isb-elbow', points, csvBytes: csvOf([row], names) }),
      tableOf({ definition: 'isb-elbow', points, csvBytes: csvOf([mirrored], names), side: 'left' }),
    ].map((table) => budget(table, 1, 1).angles) as [ErrorBudget['angles'], ErrorBudget['angles']];
    right.forEach(({ value_deg, entries }, k) => {
      expect(left[k]!.value_deg).toBe(value_deg);
      entries.forEach(({ axis, slope_deg_per_mm }, n) => {
        const sign = axis === 'z' ? -1 : 1;
        expect(left[k]!.entries[n]!.slope_deg_per_mm).toBeCloseTo(sign * slope_deg_per_mm, 12);
      });
    });
  });

  it('are refused, in words, for no noise and for a table of no known unit', () => {
    for (const noise of [0, -1, Number.NaN, Number.POSITIVE_INFINITY])
      expect(budgetOf(isbTable(), 51, noise)).toMatchObject({ ok: false, problems: [{ where: 'noise' }] });
    const table = tableOf({
      definition: 'three-point-elbow',
      points: { shoulder: 'S', elbow: 'E', wrist: 'W' },
      csvBytes: csvOf([[0, 1, 0, 0, 0, 0, 1, 0, 0]]),
    });
    expect(budgetOf(table, 1, 1)).toMatchObject({ ok: false, problems: [{ where: 'unit' }] });
  });
});
