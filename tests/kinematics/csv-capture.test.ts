import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { inspectCapture, measureCapture, readCapture } from '../../src/kinematics/index.ts';
import { createStream } from '../../src/numerics/index.ts';
import { plantSwing } from './planted-swing.ts';
import { recordSwing } from './record-swing.ts';
import { writeC3d } from './write-c3d.ts';
import { csvOf } from './write-csv.ts';

const bytesOf = (text: string): Uint8Array => new TextEncoder().encode(text);
const read = (text: string) => {
  const result = readCapture(bytesOf(text));
  if (!result.ok) throw new Error(JSON.stringify(result.problems));
  return result.value;
};
const problemsOf = (text: string) => {
  const result = readCapture(bytesOf(text));
  return result.ok ? [] : result.problems;
};

describe('a table of coordinates', () => {
  it('is read wide, with time, in any order of columns', () => {
    const { capture, warnings, format } = read(
      'time_s,B_z,A_x,A_y,B_x,B_y,A_z\n0,6,1,2,4,5,3\n0.005,6.5,1.5,2.5,4.5,5.5,3.5\n0.01,,1,2,,,3\n',
    );
    expect(format).toBe('CSV');
    expect(warnings).toEqual([]);
    expect(capture.rateHz).toBeCloseTo(200, 9);
    expect(capture.labels).toEqual(['B', 'A']);
    expect([...capture.coordinates.slice(0, 6)]).toEqual([4, 5, 6, 1, 2, 3]);
    expect([...capture.coordinates.slice(12, 15)]).toEqual([Number.NaN, Number.NaN, Number.NaN]);
  });

  it('is read long, with rows in any order and markers that are not always there', () => {
    const { capture } = read('x,y,z,marker,frame\n1,2,3,A,11\n4,5,6,B,10\n7,8,9,A,10\n');
    expect(capture.labels).toEqual(['A', 'B']);
    expect(capture.firstFrame).toBe(10);
    expect(capture.frames).toBe(2);
    expect([...capture.coordinates]).toEqual([7, 8, 9, 4, 5, 6, 1, 2, 3, Number.NaN, Number.NaN, Number.NaN]);
  });

  it.each([
    ['semicolons and decimal commas', 'frame;A_x;A_y;A_z\n1;1,5;-2,25;3e1\n2;1;2;3\n'],
    ['tabs', 'frame\tA_x\tA_y\tA_z\n1\t1.5\t-2.25\t30\n2\t1\t2\t3\n'],
    [
      'a byte order mark, spaces and Windows line ends',
      '\uFEFFframe , A_x,A_y ,A_z\r\n1, 1.5 ,-2.25,30\r\n2,1,2,3\r\n',
    ],
    ['dots and capitals', 'Frame,A.X,A.Y,A.Z\n1,1.5,-2.25,30\n2,1,2,3\n'],
  ])('is read with %s', (_what, text) => {
    const { capture } = read(text);
    expect(capture.labels).toEqual(['A']);
    expect([...capture.coordinates.slice(0, 3)]).toEqual([1.5, -2.25, 30]);
  });

  it('takes the unit from the header and leaves skipped frames unseen', () => {
    const { capture } = read('frame,A_x_mm,A_y_mm,A_z_mm\n5,1,2,3\n8,4,5,6\n');
    expect(capture.unit).toBe('mm');
    expect(capture.frames).toBe(4);
    expect(capture.coordinates[3]).toBeNaN();
    expect(capture.coordinates[9]).toBe(4);
  });

  it('recovers the single-precision number that nine digits were printed from, and leaves other numbers alone', () => {
    fc.assert(
      fc.property(
        fc.float({ noNaN: true, min: -3000, max: 3000 }),
        fc.double({ min: -3, max: 3, noNaN: true }),
        (f, d) => {
          const { capture } = read(`A_x,A_y,A_z\n${Number(f.toPrecision(9))},${d},0.1\n`);
          expect(capture.coordinates[0]).toBe(f === 0 ? capture.coordinates[0] : f);
          expect(Math.abs(capture.coordinates[1]! - d)).toBeLessThanOrEqual(5e-9 * Math.abs(d));
          expect(capture.coordinates[2]).toBe(0.1);
        },
      ),
    );
  });

  it('asks for a rate where the table tells none, and warns of uneven time', () => {
    expect(read('A_x,A_y,A_z\n1,2,3\n').warnings.join()).toMatch(/rateHz/);
    expect(read('time,A_x,A_y,A_z\n0,1,2,3\n0.01,1,2,3\n0.03,1,2,3\n0.04,1,2,3\n').warnings.join()).toMatch(
      /1 steps of the time column differ/,
    );
  });

  it.each([
    ['text in a number', 'A_x,A_y,A_z\n1,2,3\n1,abc,3\n', 'capture line 3, column A_y'],
    ['a missing coordinate', 'A_x,A_y\n1,2\n', 'capture line 1'],
    ['no marker', 'speed,angle\n1,2\n', 'capture line 1'],
    ['nothing', '', null],
    ['a header alone', 'A_x,A_y,A_z\n', 'capture line 1'],
    ['a frame without a number', 'frame,A_x,A_y,A_z\n,1,2,3\n', 'capture line 2, column frame'],
    [
      'a marker twice in a frame',
      'frame,marker,x,y,z\n1,A,1,2,3\n1,A,1,2,3\n',
      'capture line 3, column marker',
    ],
    ['a coordinate twice', 'A_x,A_x,A_y,A_z\n1,1,2,3\n', 'capture line 1, column A_x'],
    ['two units', 'A_x_mm,A_y_m,A_z_mm\n1,2,3\n', 'capture line 1'],
    ['long rows without a frame', 'marker,x,y,z\nA,1,2,3\n', 'capture line 1'],
    [
      'a frame number far off',
      'frame,A_x,A_y,A_z\n1,1,2,3\n900000000,1,2,3\n',
      'capture line 3, column frame',
    ],
  ])('is refused with %s, at its place', (_what, text, where) => {
    const problems = problemsOf(text);
    expect(problems.length).toBeGreaterThan(0);
    if (where !== null) expect(problems.map((p) => p.where)).toContain(where);
    for (const { found, expected, remedy } of problems)
      for (const words of [found, expected, remedy]) expect(words).toMatch(/\w/);
  });

  it('names all bad cells, up to twenty', () => {
    const rows = Array.from({ length: 60 }, () => 'x,2,3').join('\n');
    const problems = problemsOf(`A_x,A_y,A_z\n${rows}\n`);
    expect(problems).toHaveLength(20);
    expect(problems.at(-1)!.found).toMatch(/40 more problems/);
  });

  it('never throws on text', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 200 }), (text) => {
        const result = readCapture(bytesOf(`A_x,A_y,A_z,frame\n${text}`), 'x.csv');
        expect(typeof result.ok).toBe('boolean');
      }),
    );
  });
});

describe('mutated tables', () => {
  it('2,000 of them: never a throw, and never memory beyond four times the file', () => {
    const c3d = writeC3d({
      order: 'Intel',
      encoding: 'float',
      rateHz: 100,
      labels: ['A', 'B'],
      points: Array.from({ length: 30 }, (_, i) => [[i, 2.5, -3], i % 7 === 0 ? null : [4, 5, i]]),
    });
    const bases = [csvOf(c3d), csvOf(c3d, 'long')];
    const stream = createStream(2024);
    const below = (n: number): number => Math.floor(stream.uniform() * n);
    const likely = new TextEncoder().encode('0123456789,;\t\n".-eEx_NaN ');
    let [good, bad] = [0, 0];
    for (let i = 0; i < 2000; i++) {
      const copy = bases[i % 2]!.slice();
      for (let change = 0; change <= below(8); change++)
        copy[below(copy.length)] = below(3) === 0 ? below(256) : likely[below(likely.length)]!;
      const cut = below(4) === 0 ? copy.subarray(0, below(copy.length)) : copy;
      const result = readCapture(cut, 'mutated.csv');
      if (!result.ok) {
        bad++;
        for (const { where, found, expected, remedy } of result.problems)
          for (const words of [where, found, expected, remedy]) expect(words).not.toBe('');
        continue;
      }
      good++;
      expect(result.value.capture.coordinates.byteLength).toBeLessThanOrEqual(4 * cut.length);
    }
    expect(good).toBeGreaterThan(200);
    expect(bad).toBeGreaterThan(200);
  });
});

describe('inspect', () => {
  const bytes = writeC3d({
    order: 'DEC',
    encoding: 'integer',
    rateHz: 50,
    firstFrame: 7,
    labels: ['A', 'B'],
    unit: 'cm',
    points: [
      [[1, 2, 3], null],
      [
        [4, 5, 6],
        [7, 8, 9],
      ],
    ],
    analog: { channels: 2, samplesPerFrame: 4, values: [new Array(8).fill(0), new Array(8).fill(0)] },
    headerEvents: [{ label: 'HIT', time_s: 0.5 }],
  });

  it('lists what a C3D file holds and the points of a frame', () => {
    const result = inspectCapture({ bytes });
    expect(result).toMatchObject({
      ok: true,
      value: {
        format: 'C3D',
        encoding: 'integer',
        byteOrder: 'DEC',
        rateHz: 50,
        firstFrame: 7,
        lastFrame: 8,
        frames: 2,
        labels: ['A', 'B'],
        unit: 'cm',
        events: [{ label: 'HIT', time_s: 0.5 }],
        analog: { channels: 2, rateHz: 200 },
        warnings: [],
      },
    });
    if (!result.ok) return;
    expect(result.value.points.A!.map((v) => Math.round(v * 1e4) / 1e4)).toEqual([1, 2, 3]);
    expect(result.value.points.B).toBeNull();
  });

  it('lists another frame, and says which there are when asked for one that is not', () => {
    const second = inspectCapture({ bytes, frame: 8 });
    expect(second.ok && second.value.points.B).toHaveLength(3);
    expect(inspectCapture({ bytes, frame: 9 })).toMatchObject({
      ok: false,
      problems: [{ where: 'frame', expected: 'a frame from 7 to 8' }],
    });
  });

  it('keeps points of one label apart', () => {
    const twice = writeC3d({
      order: 'Intel',
      encoding: 'float',
      rateHz: 50,
      labels: ['A', 'A'],
      points: [
        [
          [1, 2, 3],
          [4, 5, 6],
        ],
      ],
    });
    const result = inspectCapture({ bytes: twice });
    expect(result.ok && Object.keys(result.value.points)).toEqual(['A', 'A (channel 2)']);
  });
});

describe('one swing as C3D and as a table', () => {
  it('gives the same metrics in metres and in millimetres, from any first frame', () => {
    const swing = plantSwing();
    const { named } = recordSwing(swing, { rateHz: 240, noise_m: 0.001 });
    const names = swing.landmarks;
    const table = (scale: number, first: number): Uint8Array => {
      const header = ['frame', 'time_s', ...names.flatMap((n) => [`${n}_x`, `${n}_y`, `${n}_z`])].join(',');
      const rows = Array.from({ length: named.trial.frames }, (_, i) =>
        [
          i + first,
          (i / 240).toFixed(9),
          ...names.flatMap((n) => {
            const t = named.trial.tracks.get(n)!;
            return [t.x[i]! * scale, t.y[i]! * scale, t.z[i]! * scale];
          }),
        ].join(','),
      );
      return bytesOf([header, ...rows].join('\n'));
    };
    const layout = (lengthUnit: string, scale: number) => ({
      lengthUnit,
      up: '+Y',
      targetLine: { axis: '+X' },
      plays: 'right',
      rateHz: 240,
      landmarks: Object.fromEntries(names.map((n) => [n, n])),
      ball: swing.ball.map((v) => v * scale),
    });
    const measured = (c3dBytes: Uint8Array, given: object) => {
      const result = measureCapture({ c3dBytes, layout: given });
      if (!result.ok) throw new Error(JSON.stringify(result.problems));
      return result.value.swing;
    };
    const metres = measured(table(1, 1), layout('m', 1));
    const millimetres = measured(table(1000, 4001), layout('mm', 1000));
    const c3d = measured(
      writeC3d({
        order: 'SGI',
        encoding: 'float',
        rateHz: 240,
        firstFrame: 50,
        labels: names,
        points: Array.from({ length: named.trial.frames }, (_, i) =>
          names.map((n) => {
            const t = named.trial.tracks.get(n)!;
            return [t.x[i]! * 1000, t.y[i]! * 1000, t.z[i]! * 1000] as [number, number, number];
          }),
        ),
      }),
      layout('mm', 1000),
    );
    for (const [column, value] of Object.entries(metres)) {
      if (value === null) continue;
      const size = Math.max(1, Math.abs(value));
      expect(Math.abs(millimetres[column]! - value), column).toBeLessThan(1e-9 * size);
      // C3D keeps single precision: 0.1 micrometre on a metre.
      expect(Math.abs(c3d[column]! - value), column).toBeLessThan(1e-3 * size);
    }
  });
});
