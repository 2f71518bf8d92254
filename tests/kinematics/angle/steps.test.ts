import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { type AngleStep, seriesOf, stepsOf } from '../../../src/kinematics/index.ts';
import { isbTable, threeTable } from './elbow-data.ts';

// The published intermediates: documentation of a general-purpose kinematics library, named in worked-examples.json.
const examples = JSON.parse(
  readFileSync(new URL('../../reference/angles/worked-examples.json', import.meta.url), 'utf8'),
) as { id: string; expected: Record<string, unknown> }[];
const published = examples.find(({ id }) => id === 'ktk_isb_elbow_frame1')!.expected;

function stepsOfRow(table: ReturnType<typeof isbTable>, row: number): AngleStep[] {
  const result = stepsOf(table, row);
  if (!result.ok) throw new Error(JSON.stringify(result.problems));
  return [...result.value.steps];
}
const valueIn = (steps: readonly AngleStep[], symbol: string): unknown =>
  steps.find((step) => step.symbol === symbol)!.value;

describe('the steps of the ISB elbow', () => {
  it('are those published for the first row: matrix, then flexion, carrying angle, pronation', () => {
    const steps = stepsOfRow(isbTable(), 1);
    const matrix = (valueIn(steps, 'R') as number[][]).flat();
    (published.R_humerus_to_forearm_row_major as number[][]).flat().forEach((value, k) => {
      expect(Math.abs(matrix[k]! - value)).toBeLessThan(1e-7);
    });
    const angles = ['flexion', 'carrying', 'pronation'].map((name) => valueIn(steps, name) as number);
    (published.euler_ZXY_deg as number[]).forEach((value, k) => {
      expect(Math.abs(angles[k]! - value)).toBeLessThan(1e-7);
    });
  });

  // Each equation as it is printed, worked out here by hand from the printed values above it.
  it('follow from each other by the equations that stand beside them', () => {
    for (const row of [1, 51, 400]) {
      const steps = stepsOfRow(isbTable(), row);
      const v = (symbol: string) => valueIn(steps, symbol) as [number, number, number];
      const minus = (a: number[], b: number[]) => a.map((c, k) => c - b[k]!);
      const length = (a: number[]) => Math.hypot(...a);
      const times = ([a, b, c]: number[], [d, e, f]: number[]) => [
        b! * f! - c! * e!,
        c! * d! - a! * f!,
        a! * e! - b! * d!,
      ];
      const along = (a: number[]) => a.map((c) => c / length(a));
      const near = (a: number[], b: number[]) => expect(length(minus(a, b))).toBeLessThan(1e-12);
      near(
        v('E'),
        v('L').map((c, k) => (c + v('M')[k]!) / 2),
      );
      near(v('yh'), along(minus(v('S'), v('E'))));
      near(v('xh'), along(times(v('yh'), minus(v('L'), v('M')))));
      near(v('zh'), times(v('xh'), v('yh')));
      near(v('yf'), along(minus(v('E'), v('U'))));
      near(v('xf'), along(times(v('yf'), minus(v('A'), v('U')))));
      near(v('zf'), times(v('xf'), v('yf')));
      const dot = (a: number[], b: number[]) => a.reduce((sum, c, k) => sum + c * b[k]!, 0);
      const r = valueIn(steps, 'R') as unknown as number[][];
      ['xh', 'yh', 'zh'].forEach((h, i) => {
        ['xf', 'yf', 'zf'].forEach((f, j) => {
          expect(r[i]![j]).toBeCloseTo(dot(v(h), v(f)), 12);
        });
      });
      const deg = 180 / Math.PI;
      expect(valueIn(steps, 'flexion')).toBeCloseTo(Math.atan2(-r[0]![1]!, r[1]![1]!) * deg, 10);
      expect(valueIn(steps, 'carrying')).toBeCloseTo(Math.asin(r[2]![1]!) * deg, 10);
      expect(valueIn(steps, 'pronation')).toBeCloseTo(Math.atan2(-r[2]![0]!, r[2]![2]!) * deg, 10);
    }
  });

  it('end in the very numbers of the series', () => {
    const table = isbTable();
    const series = seriesOf(table);
    if (!series.ok) throw new Error('no series');
    const steps = stepsOfRow(table, 283);
    expect(series.value.series[282]).toEqual({
      row: 283,
      flexion_deg: valueIn(steps, 'flexion'),
      carrying_deg: valueIn(steps, 'carrying'),
      pronation_deg: valueIn(steps, 'pronation'),
    });
  });

  it('name a source wherever something is defined, and give each in full', () => {
    const result = stepsOf(isbTable(), 1);
    if (!result.ok) throw new Error('no steps');
    const defined = result.value.steps.filter(({ equation }) => equation !== '');
    expect(defined.every(({ source }) => source !== '')).toBe(true);
    expect(Object.keys(result.value.sources)).toEqual(['Wu et al. 2005', 'Grood and Suntay 1983']);
  });
});

describe('the steps of the three-point elbow', () => {
  it('follow from each other, and end in the published angle', () => {
    const steps = stepsOfRow(threeTable(), 1);
    const flexion = valueIn(steps, 'flexion') as number;
    expect(flexion).toBeCloseTo(published.three_point_flexion_frame1 as number, 6);
    const [a, b] = [valueIn(steps, 'a') as number, valueIn(steps, 'b') as number];
    expect(flexion).toBe((Math.atan2(a, b) * 180) / Math.PI);
  });
});

it('a row that is not there, or gives no angle, has no steps', () => {
  for (const row of [0, 701, 1.5, Number.NaN]) {
    const result = stepsOf(isbTable(), row);
    expect(result).toMatchObject({
      ok: false,
      problems: [{ where: 'row', expected: 'a row from 1 to 700' }],
    });
  }
});
