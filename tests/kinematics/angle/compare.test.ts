import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { compareElbows, type ElbowComparison } from '../../../src/kinematics/index.ts';
import { FIVE_POINTS, isbTable, pushBytes, tableOf, threeTable } from './elbow-data.ts';

function comparison(): ElbowComparison {
  const result = compareElbows(isbTable());
  if (!result.ok) throw new Error(JSON.stringify(result.problems));
  return result.value;
}
const [head, ...lines] = pushBytes.toString().trim().split(/\r?\n/);
const names = head!.split(',');
const column = (name: string): number[] => lines.map((line) => Number(line.split(',')[names.indexOf(name)]));

describe('definitions of the elbow side by side', () => {
  const { rows, definitions } = comparison();
  const of = (name: string) => definitions.find((definition) => definition.column === name)!;

  it('have the series computed independently of this project', () => {
    const [isb, three] = [column('isb_flexion_deg'), column('threepoint_flexion_deg')];
    rows.forEach((row, k) => {
      expect(Math.abs(row.isb_flexion_deg! - isb[k]!)).toBeLessThan(1e-6);
      expect(Math.abs(row.three_point_ulnar_deg! - three[k]!)).toBeLessThan(1e-6);
    });
  });

  it('differ by what the independent series differ by; the largest is the published 15.3 deg', () => {
    const [isb, three] = [column('isb_flexion_deg'), column('threepoint_flexion_deg')];
    const differences = three.map((value, k) => value - isb[k]!);
    const mean = differences.reduce((a, b) => a + b) / differences.length;
    const sd = Math.sqrt(differences.reduce((a, d) => a + (d - mean) ** 2, 0) / (differences.length - 1));
    const { mean_deg, sd_deg, largest_deg, largestRow } = of('three_point_ulnar_deg');
    expect(mean_deg).toBeCloseTo(mean, 6);
    expect(sd_deg).toBeCloseTo(sd, 6);
    expect(largest_deg).toBeCloseTo(Math.max(...differences), 6);
    expect(differences[largestRow - 1]).toBe(Math.max(...differences));
    const note = (
      JSON.parse(
        readFileSync(new URL('../../reference/angles/worked-examples.json', import.meta.url), 'utf8'),
      ) as {
        id: string;
        note?: string;
      }[]
    ).find(({ id }) => id === 'ktk_isb_elbow_frame1')!.note!;
    expect(note).toContain(`up to ${largest_deg.toFixed(1)} deg`);
  });

  // The claim in the words: the same two lines, so that R22 = cos(flexion) cos(carrying) is their cosine.
  it('differ by the carrying angle alone where they share both segments', () => {
    const cos = (degrees: number) => Math.cos((degrees * Math.PI) / 180);
    for (const row of rows)
      expect(cos(row.three_point_ulnar_deg!)).toBeCloseTo(
        cos(row.isb_flexion_deg!) * cos(row.isb_carrying_deg!),
        12,
      );
    const carrying = column('isb_carry_deg');
    const ends = [Math.min(...carrying), Math.max(...carrying)].map((value) => value.toFixed(1));
    expect(of('three_point_ulnar_deg').why).toContain(`${ends[0]} to ${ends[1]} deg`);
  });

  it('see in a flat picture what the coordinates left in it give', () => {
    const at = (name: string, axis: string) => column(`${name}_${axis}`);
    for (const [axis, others] of [
      ['x', ['y', 'z']],
      ['y', ['x', 'z']],
      ['z', ['x', 'y']],
    ] as const)
      rows.forEach((row, k) => {
        if (k % 50 !== 0) return;
        const [u, v] = [
          others.map(
            (a) =>
              (at('LateralEpicondyleR', a)[k]! + at('MedialEpicondyleR', a)[k]!) / 2 - at('AcromionR', a)[k]!,
          ),
          others.map(
            (a) =>
              at('UlnarStyloidR', a)[k]! -
              (at('LateralEpicondyleR', a)[k]! + at('MedialEpicondyleR', a)[k]!) / 2,
          ),
        ] as [[number, number], [number, number]];
        const between = Math.abs(Math.atan2(u[0] * v[1] - u[1] * v[0], u[0] * v[0] + u[1] * v[1]));
        expect(row[`seen_along_${axis}_deg`]!).toBeCloseTo((between * 180) / Math.PI, 5);
      });
  });

  it('are one where the arm lies in the picture and the elbow does not bend sideways', () => {
    const names5 = ['S', 'L', 'M', 'A', 'U'];
    const f = (50 * Math.PI) / 180;
    const [x, y] = [0.25 * Math.sin(f), -0.25 * Math.cos(f)];
    const cells = [0, 0.3, 0, 0, 0, 0.03, 0, 0, -0.03, x, y, 0.05, x, y, 0];
    const csv = `${names5.flatMap((n) => ['x', 'y', 'z'].map((a) => `${n}_${a}`)).join(',')}\n${cells.join(',')}\n`;
    const table = tableOf({
      definition: 'isb-elbow',
      points: Object.fromEntries(Object.keys(FIVE_POINTS).map((role, k) => [role, names5[k]!])),
      csvBytes: new TextEncoder().encode(csv),
    });
    const result = compareElbows(table);
    if (!result.ok) throw new Error('not compared');
    const [row] = result.value.rows;
    expect(row!.isb_flexion_deg).toBeCloseTo(50, 10);
    expect(row!.seen_along_z_deg).toBeCloseTo(row!.three_point_ulnar_deg!, 10);
  });

  it('need the five points', () => {
    expect(compareElbows(threeTable())).toMatchObject({ ok: false, problems: [{ where: 'definition' }] });
  });
});
