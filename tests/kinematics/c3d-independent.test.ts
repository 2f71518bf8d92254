import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, it } from 'vitest';
import { readCapture, writeC3d, writeCsvCapture } from '../../src/kinematics/index.ts';

// An independent reader, in another language and from the description of the format alone: read_c3d.py.
const READER = fileURLToPath(new URL('./read_c3d.py', import.meta.url));
const hasPython = spawnSync('python3', ['--version']).status === 0;
const folder = mkdtempSync(join(tmpdir(), 'c3d-'));
afterAll(() => rmSync(folder, { recursive: true }));

interface IndependentlyRead {
  readonly order: string;
  readonly rate: number;
  readonly first: number;
  readonly samples: number;
  readonly labels: readonly string[];
  readonly unit: string;
  readonly frames: readonly (readonly (readonly number[] | null)[])[];
  readonly analog: readonly (readonly number[])[];
  readonly event: readonly number[] | null;
}

function readIndependently(bytes: Uint8Array): IndependentlyRead {
  const path = join(folder, 'one.c3d');
  writeFileSync(path, bytes);
  return JSON.parse(execFileSync('python3', [READER, path], { encoding: 'utf8' })) as IndependentlyRead;
}

const labels = ['HEAD', 'grip', 'ELBOW_3'];
const frames = 7;
const coordinates = Float64Array.from({ length: frames * 9 }, (_, i) => 100 * Math.sin(i) - 0.25 * i);
coordinates.fill(Number.NaN, 9 * 2 + 3, 9 * 2 + 6);

describe('C3D files against an independent reader', () => {
  for (const order of ['Intel', 'DEC', 'SGI'] as const)
    for (const encoding of ['float', 'integer'] as const)
      it.skipIf(!hasPython)(`${order} ${encoding}: every number comes back`, () => {
        const values = Array.from({ length: frames * 4 }, (_, i) => 50 * i - 300);
        const read = readIndependently(
          writeC3d({
            order,
            encoding,
            scale: 0.01,
            rateHz: 239.5,
            firstFrame: 12,
            labels,
            unit: 'cm',
            coordinates,
            residual: 0.5,
            analog: { channels: 2, samplesPerFrame: 2, values },
            groupEvents: [{ label: 'Impact', context: 'General', time_s: 61.5 }],
          }),
        );
        expect(read).toMatchObject({
          order,
          rate: 239.5,
          first: 12,
          samples: 2,
          labels,
          unit: 'cm',
          event: [1, 1.5],
        });
        expect(read.analog.flat()).toEqual(values);
        expect(read.frames).toHaveLength(frames);
        read.frames.flat().forEach((point, p) => {
          const given = [...coordinates.subarray(3 * p, 3 * p + 3)];
          if (Number.isNaN(given[0]!)) expect(point).toBeNull();
          else {
            given.forEach((v, k) => {
              expect(Math.abs(point![k]! - v)).toBeLessThan(encoding === 'integer' ? 0.005001 : 2e-5);
            });
            expect(point![3]).toBeCloseTo(0.5, 6);
          }
        });
      });

  it('what cannot be held is refused with the remedy', () => {
    const file = { rateHz: 240, labels: ['A'], coordinates: Float64Array.of(1, 2, 4000) };
    expect(() => writeC3d({ ...file, encoding: 'integer' })).toThrow(/larger scale/);
    expect(() => writeC3d({ ...file, labels: ['A', 'B'] })).toThrow(/whole frames/);
    expect(() => writeC3d({ ...file, labels: ['\u2122'] })).toThrow(/one byte/);
    expect(() => writeC3d({ ...file, rateHz: Number.NaN })).toThrow(/frames per second/);
    expect(() => writeC3d({ ...file, analog: { channels: 1, samplesPerFrame: 2, values: [1] } })).toThrow(
      /need 2/,
    );
    expect(() => writeC3d({ ...file, labels: [''], coordinates: new Float64Array(0) })).toThrow(
      /whole frames/,
    );
  });
});

describe('a written table of coordinates', () => {
  it('reads back to the last bit, with gaps, first frame and unit', () => {
    const text = writeCsvCapture({ rateHz: 240, firstFrame: 12, labels, unit: 'mm', coordinates });
    const read = readCapture(new TextEncoder().encode(text), 'swing.csv');
    if (!read.ok) throw new Error(JSON.stringify(read.problems));
    const { capture } = read.value;
    expect(capture.coordinates).toEqual(coordinates);
    expect(capture).toMatchObject({ labels, firstFrame: 12, unit: 'mm', frames });
    expect(capture.rateHz).toBeCloseTo(240, 6);
  });

  it('refuses labels that would break it', () => {
    expect(() =>
      writeCsvCapture({ rateHz: 240, labels: ['A,B'], coordinates: Float64Array.of(1, 2, 3) }),
    ).toThrow(/break the table/);
  });
});
