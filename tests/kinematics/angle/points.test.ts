import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type AngleInput, readPoints, seriesOf } from '../../../src/kinematics/index.ts';
import { csvOf, FIVE_POINTS, isbTable, pushBytes, tableOf } from './elbow-data.ts';

const THREE = { shoulder: 'S', elbow: 'E', wrist: 'W' };
const three = (csvBytes: Uint8Array, more: Partial<AngleInput> = {}) =>
  readPoints({ definition: 'three-point-elbow', csvBytes, points: THREE, ...more });
const problemsOf = (read: ReturnType<typeof readPoints>) => (read.ok ? [] : read.problems);
const seriesFrom = (csvBytes: Uint8Array) => {
  const series = seriesOf(tableOf({ definition: 'three-point-elbow', csvBytes, points: THREE }));
  if (!series.ok) throw new Error(JSON.stringify(series.problems));
  return series.value;
};
const GOOD = [0, 1, 0, 0, 0, 0, 1, 0, 0];

describe('a table of points', () => {
  it('may hold anything else, in any order, and counts its rows as they stand', () => {
    const text = [
      'label,frame,W_z,W_y,W_x,other_x,E_x,E_y,E_z,S_x,S_y,S_z,note',
      'a,7,0,0,1,what,0,0,0,0,1,0,"x, y"',
      'b,3,0,-1,0,,0,0,0,0,1,0,',
      '',
    ].join('\n');
    const { series } = seriesFrom(new TextEncoder().encode(text));
    expect(series).toEqual([
      { row: 1, angle_deg: 90 },
      { row: 2, angle_deg: 0 },
    ]);
  });

  it('may be a long one: a row for each marker of each frame', () => {
    const text = 'frame,marker,x,y,z\n1,S,0,1,0\n1,E,0,0,0\n1,W,1,0,0\n';
    expect(seriesFrom(new TextEncoder().encode(text)).series).toEqual([{ row: 1, angle_deg: 90 }]);
  });

  it('may write decimal commas beside semicolons, and its unit behind the axis', () => {
    const names = ['S', 'E', 'W'].flatMap((name) => ['x', 'y', 'z'].map((axis) => `${name}_${axis}_mm`));
    const text = `${names.join(';')}\n0;300,5;0;0;0;0;250,5;0;0\n`;
    const table = tableOf({
      definition: 'three-point-elbow',
      points: THREE,
      csvBytes: new TextEncoder().encode(text),
    });
    expect(table.unit).toEqual({ unit: 'mm', from: 'columns' });
    expect(table.rows[0]!.get('W')).toEqual([250.5, 0, 0]);
  });

  it('keeps a row with a point not seen as null, with the reason', () => {
    const { series, warnings } = seriesFrom(csvOf([GOOD, [0, 1, 0, '', '', '', 1, 0, 0], GOOD]));
    expect(series[1]).toEqual({ row: 2, angle_deg: null, reason: 'E was not seen' });
    expect(series[2]).toEqual({ row: 3, angle_deg: 90 });
    expect(warnings.join()).toContain('row 2: E was not seen');
    const blank = seriesFrom(csvOf([GOOD, ['NaN', '', '', 'NA', '', '', '', '', '']])).series[1];
    expect(blank).toEqual({ row: 2, angle_deg: null, reason: 'S, E, W were not seen' });
  });

  it('has no angle where two points fall together, instead of a straight arm', () => {
    const { series } = seriesFrom(csvOf([GOOD, [0, 0, 0, 0, 0, 0, 1, 0, 0], [0, 1, 0, 0, 0, 0, 0, 0, 0]]));
    expect(series.slice(1)).toEqual([
      { row: 2, angle_deg: null, reason: 'shoulder and elbow are one point' },
      { row: 3, angle_deg: null, reason: 'elbow and wrist are one point' },
    ]);
  });

  it('never gives a number that is not finite, whatever the points', () => {
    const coordinate = fc.oneof(fc.constant(0), fc.double({ min: -1e3, max: 1e3, noNaN: true }));
    fc.assert(
      fc.property(fc.array(coordinate, { minLength: 15, maxLength: 15 }), (cells) => {
        const names = ['S', 'L', 'M', 'A', 'U'];
        const points = Object.fromEntries(Object.keys(FIVE_POINTS).map((role, k) => [role, names[k]!]));
        const read = readPoints({ definition: 'isb-elbow', csvBytes: csvOf([cells], names), points });
        const series = read.ok ? seriesOf(read.value) : read;
        if (!series.ok) {
          expect(series.problems[0]!.remedy).not.toBe('');
          return;
        }
        const { row: _row, reason, ...angles } = series.value.series[0]!;
        for (const value of Object.values(angles))
          expect(reason === undefined ? Number.isFinite(value) : value === null).toBe(true);
      }),
    );
  });
});

describe('what is refused, in words', () => {
  it('a role of another name, with the one that was meant', () => {
    const problems = problemsOf(three(csvOf([GOOD]), { points: { ...THREE, sholder: 'S' } }));
    expect(problems).toMatchObject([{ where: 'points sholder', remedy: 'Write shoulder if you mean that.' }]);
  });

  it('a point that the table lacks, with the nearest it has, all of them at once', () => {
    const points = { ...FIVE_POINTS, shoulder: 'AcromionL', ulnar_styloid: 'Nowhere' };
    const problems = problemsOf(readPoints({ definition: 'isb-elbow', csvBytes: pushBytes, points }));
    expect(problems.map(({ where }) => where)).toEqual(['points shoulder', 'points ulnar_styloid']);
    expect(problems[0]!.remedy).toContain('AcromionR');
  });

  it('a marker with a coordinate missing', () => {
    const text = 'S_x,S_y,E_x,E_y,E_z,W_x,W_y,W_z\n0,1,0,0,0,1,0,0\n';
    expect(problemsOf(three(new TextEncoder().encode(text)))[0]!.found).toContain('S_z');
  });

  it('angles in place of positions, where the columns say so', () => {
    const text = 'S_x_deg,S_y_deg,S_z_deg,E_x,E_y,E_z,W_x,W_y,W_z\n0,1,0,0,0,0,1,0,0\n';
    const [problem] = problemsOf(three(new TextEncoder().encode(text)));
    expect(problem!.found).toContain('S_x_deg, S_y_deg, S_z_deg, which by their names are angles');
  });

  it('text in a number, with its line', () => {
    const [problem] = problemsOf(three(csvOf([GOOD, [0, 1, 0, 'much', 0, 0, 1, 0, 0]])));
    expect(problem).toMatchObject({ where: 'capture line 3, column E_x', found: '"much"' });
  });

  it('points that lie on one line in every row', () => {
    const names = ['S', 'L', 'M', 'A', 'U'];
    const points = Object.fromEntries(Object.keys(FIVE_POINTS).map((role, k) => [role, names[k]!]));
    const line = [0, 3, 0, 0, 1, 0, 0, -1, 0, 1, 0, 0, 2, 0, 1];
    const series = seriesOf(
      tableOf({ definition: 'isb-elbow', points, csvBytes: csvOf([line, line], names) }),
    );
    expect(series).toMatchObject({ ok: false });
    if (!series.ok) expect(series.problems[0]!.found).toContain('lie on one line');
  });

  it('a left arm that was not mirrored: the published series mirrored, and given as it is', () => {
    const [head, ...lines] = pushBytes.toString().trim().split(/\r?\n/);
    const columns = head!.split(',');
    const mirrored = lines.map((line) =>
      line
        .split(',')
        .map((cell, k) => (columns[k]!.endsWith('_z') ? String(-Number(cell)) : cell))
        .join(','),
    );
    const csvBytes = new TextEncoder().encode([head, ...mirrored].join('\n'));
    const bent = new TextEncoder().encode(
      // The rows bent by 40 deg or more: nearer to straight a sign says nothing.
      [
        head,
        ...mirrored.filter((line) => Number(line.split(',')[columns.indexOf('isb_flexion_deg')]) > 40),
      ].join('\n'),
    );
    const input = { definition: 'isb-elbow', points: FIVE_POINTS } as const;
    const [problem] = problemsOf(readPoints({ ...input, csvBytes: bent }));
    expect(problem!.found).toContain('bends backwards');
    expect(problem!.remedy).toContain('side left');
    const left = seriesOf(tableOf({ ...input, csvBytes, side: 'left' }));
    expect(left).toEqual(seriesOf(isbTable()));
  });
});

it('warns of segments that change their length as no bone does', () => {
  const angles = Array.from({ length: 40 }, (_, k) => [k, 3 * k, 90 - k, -k, 2, 40 - 2 * k, k * k, 7, k]);
  expect(seriesFrom(csvOf(angles)).warnings.join()).toContain('columns that are not positions');
  const series = seriesOf(isbTable());
  expect(series.ok && series.value.warnings.join()).not.toContain('keep its length');
});
