import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readC3d } from '../../src/kinematics/index.ts';
import { type WrittenFile, writeC3d } from './write-c3d.ts';

function open(bytes: Uint8Array) {
  const read = readC3d(bytes);
  if (!read.ok) throw new Error(JSON.stringify(read.fault));
  return read;
}

const coordinate = fc.integer({ min: -30000, max: 30000 }).map((n) => n / 10);
const point = fc.option(fc.tuple(coordinate, coordinate, coordinate), { nil: null, freq: 6 });

const anyFile: fc.Arbitrary<WrittenFile> = fc
  .record({
    order: fc.constantFrom('Intel', 'DEC', 'SGI'),
    encoding: fc.constantFrom('integer', 'float'),
    rateHz: fc.constantFrom(50, 107.5, 240, 1000),
    firstFrame: fc.integer({ min: 1, max: 3000 }),
    points: fc
      .integer({ min: 1, max: 6 })
      .chain((n) =>
        fc.array(fc.array(point, { minLength: n, maxLength: n }), { minLength: 1, maxLength: 12 }),
      ),
    blocksBeforeParameters: fc.integer({ min: 0, max: 3 }),
    blocksBeforeData: fc.integer({ min: 0, max: 2 }),
    channels: fc.integer({ min: 0, max: 3 }),
    samplesPerFrame: fc.integer({ min: 1, max: 4 }),
    unit: fc.constantFrom('mm', 'm', 'cm'),
  })
  .map(({ channels, samplesPerFrame, ...file }) => ({
    ...file,
    labels: file.points[0]!.map((_, i) => `M${i}`),
    headerEvents: [{ label: 'HIT', time_s: 1.25 }],
    groupEvents: [{ label: 'Impact', context: 'General', time_s: 61.5 }],
    ...(channels === 0
      ? {}
      : {
          analog: {
            channels,
            samplesPerFrame,
            scale: 0.5,
            offset: 4,
            values: file.points.map((_, f) =>
              Array.from({ length: channels * samplesPerFrame }, (_, i) => ((f * 31 + i * 7) % 2000) - 1000),
            ),
          },
        }),
  }));

describe('C3D files written by the test', () => {
  it('come back as they were written, in every encoding and wherever the sections stand', () => {
    fc.assert(
      fc.property(anyFile, (file) => {
        const { capture, warnings } = open(writeC3d(file));
        expect(warnings).toEqual([]);
        expect(capture.byteOrder).toBe(file.order);
        expect(capture.encoding).toBe(file.encoding);
        expect(capture.rateHz).toBe(file.rateHz);
        expect(capture.frames).toBe(file.points.length);
        expect(capture.firstFrame).toBe(file.firstFrame);
        expect(capture.labels).toEqual(file.labels);
        expect(capture.unit).toBe(file.unit);
        file.points.flat().forEach((p, i) => {
          const read = [...capture.coordinates.slice(3 * i, 3 * i + 3)];
          if (!p) expect(read).toEqual([Number.NaN, Number.NaN, Number.NaN]);
          else for (const k of [0, 1, 2]) expect(read[k]).toBeCloseTo(p[k]!, 3);
          expect(capture.residuals![i]! < 0).toBe(p === null);
        });
        expect(capture.events.map(({ label, time_s }) => [label, time_s])).toEqual([
          ['HIT', 1.25],
          ['Impact', 61.5],
        ]);
        if (!file.analog) expect(capture.analog).toBeNull();
        else {
          expect(capture.analog!.channels).toBe(file.analog.channels);
          expect(capture.analog!.rateHz).toBe(file.rateHz * file.analog.samplesPerFrame);
          expect([...capture.analog!.samples]).toEqual(file.analog.values.flat().map((v) => (v - 4) * 0.5));
        }
      }),
      { numRuns: 150 },
    );
  });

  it('reads more than 255 labels from the numbered label parameters', () => {
    const labels = Array.from({ length: 600 }, (_, i) => `P${i}`);
    const points = [labels.map((_, i) => [i, -i, 2 * i] as [number, number, number])];
    const { capture } = open(writeC3d({ order: 'Intel', encoding: 'float', rateHz: 100, labels, points }));
    expect(capture.labels).toEqual(labels);
    expect([...capture.coordinates.slice(-3)]).toEqual([599, -599, 1198]);
  });

  it('reads more than 65535 frames from the extended field parameters', () => {
    const points = Array.from({ length: 70000 }, (_, i) => [[i % 1000, 1, 2] as [number, number, number]]);
    const { capture, warnings } = open(
      writeC3d({ order: 'Intel', encoding: 'integer', rateHz: 500, labels: ['A'], points, scale: 1 }),
    );
    expect(capture.frames).toBe(70000);
    expect(capture.coordinates[3 * 69999]).toBe(999);
    expect(warnings).toEqual([]);
  });

  it('keeps the residual in the unit of the file', () => {
    for (const encoding of ['integer', 'float'] as const) {
      const { capture } = open(
        writeC3d({
          order: 'SGI',
          encoding,
          rateHz: 100,
          labels: ['A'],
          points: [[[1, 2, 3]]],
          residual: 0.7,
        }),
      );
      expect(capture.residuals![0]).toBeCloseTo(0.7, 6);
    }
  });
});

const plain: WrittenFile = {
  order: 'Intel',
  encoding: 'float',
  rateHz: 240,
  labels: ['A', 'B'],
  points: Array.from({ length: 9 }, (_, i) => [
    [i + 1, 2, 3],
    [i + 4, 5, 6],
  ]),
};

/** A copy of the file with some 16-bit words of the header changed. */
function withWords(bytes: Uint8Array, words: Readonly<Record<number, number>>): Uint8Array {
  const copy = bytes.slice();
  const view = new DataView(copy.buffer);
  for (const [offset, value] of Object.entries(words)) view.setUint16(Number(offset), value, true);
  return copy;
}

describe('faulty headers that the rest of the file corrects', () => {
  const bytes = writeC3d(plain);
  const firstX = (b: Uint8Array) => open(b).capture.coordinates[0];

  it('finds the data when the header says block 0', () => {
    const read = open(withWords(bytes, { 16: 0 }));
    expect(read.capture.coordinates[0]).toBe(1);
    expect(read.warnings.join()).toMatch(/data start \(block 0\) is impossible/);
  });

  it('reads the frames that are there when the header counts one too many', () => {
    const exact = bytes.slice(0, 1024 + 9 * 32);
    const read = open(withWords(exact, { 8: 10 }));
    expect(read.capture.frames).toBe(9);
    expect(read.warnings.join()).toMatch(/header states 10 frames; 9 were read/);
  });

  it('believes POINT:FRAMES where the header counts no frame at all', () => {
    const read = open(withWords(bytes, { 6: 5, 8: 1 }));
    expect(read.capture.frames).toBe(9);
  });

  it('takes the count of points that fits the size of the file', () => {
    const read = open(withWords(bytes, { 2: 40 }));
    expect(read.capture.labels).toEqual(['A', 'B']);
    expect(read.warnings.join()).toMatch(/states 40 points/);
  });

  it('uses the rate and scale of the parameters where the header has none', () => {
    const read = open(withWords(bytes, { 12: 0, 14: 0, 20: 0, 22: 0 }));
    expect(read.capture.rateHz).toBe(240);
    expect(read.capture.encoding).toBe('float');
    expect(read.warnings).toHaveLength(2);
  });

  it('says so when no sampling rate is stated at all', () => {
    const rate = writeC3d({ ...plain, rateHz: 0 });
    const read = open(rate);
    expect(read.capture.rateHz).toBeNull();
    expect(read.warnings.join()).toMatch(/no sampling rate/);
  });

  it('reads block 2 when the pointer to the parameters is 0', () => {
    const copy = bytes.slice();
    copy[0] = 0;
    expect(firstX(copy)).toBe(1);
  });
});

describe('files that cannot be read', () => {
  const bytes = writeC3d(plain);
  const faultOf = (b: Uint8Array) => {
    const read = readC3d(b);
    if (read.ok) throw new Error('it was read');
    return read.fault;
  };

  it('refuses an empty file, another format and an unknown processor, each at its byte', () => {
    expect(faultOf(new Uint8Array(0))).toMatchObject({ offset: 0, found: 'an empty file' });
    expect(faultOf(new TextEncoder().encode('time,x,y,z\n'.repeat(200)))).toMatchObject({ offset: 1 });
    const copy = bytes.slice();
    copy[515] = 7;
    expect(faultOf(copy)).toMatchObject({ offset: 515, found: 'processor type 7' });
  });

  it('refuses a file cut anywhere before the end of its last frame', () => {
    const end = 1024 + 9 * 32;
    expect(readC3d(bytes.subarray(0, end)).ok).toBe(true);
    for (let length = 0; length < end; length += 7) {
      // Cut on a whole frame, one frame short, cannot be told from a miscount and is read with a warning.
      if (length === end - 32) continue;
      const fault = faultOf(bytes.subarray(0, length));
      expect(fault.offset).toBeLessThanOrEqual(length);
      expect(fault.expected).toMatch(/\w/);
    }
  });

  it('refuses a file that claims more than it holds, in header and parameters alike, reserving no room for it', () => {
    const claim = withWords(bytes, { 2: 60000, 6: 1, 8: 60000 });
    const text = String.fromCharCode(...claim.subarray(512, 1024));
    const view = new DataView(claim.buffer);
    view.setUint16(512 + text.indexOf('USED') + 8, 60000, true);
    view.setUint16(512 + text.indexOf('FRAMES') + 10, 60000, true);
    const fault = faultOf(claim);
    expect(fault.offset).toBe(claim.length);
    expect(fault.expected).toMatch(/60000 frames/);
  });
});

describe('mutated files', () => {
  it('2,000 of them: never a throw, a hang or memory beyond four times the file', () => {
    const bases = (['Intel', 'DEC', 'SGI'] as const).flatMap((order) =>
      (['integer', 'float'] as const).map((encoding) =>
        writeC3d({
          ...plain,
          order,
          encoding,
          points: Array.from({ length: 40 }, (_, i) => [[i, 2, 3], i % 7 === 0 ? null : [4, 5, i]]),
          analog: { channels: 2, samplesPerFrame: 2, values: Array.from({ length: 40 }, () => [1, 2, 3, 4]) },
          groupEvents: [{ label: 'Impact', context: 'General', time_s: 1 }],
          headerEvents: [{ label: 'HIT', time_s: 1 }],
        }),
      ),
    );
    let state = 12345;
    const random = (below: number): number => {
      state = (Math.imul(state, 1103515245) + 12345) >>> 0;
      return Math.floor((state / 2 ** 32) * below);
    };
    let [good, bad] = [0, 0];
    for (let i = 0; i < 2000; i++) {
      const copy = bases[i % bases.length]!.slice();
      const changes = 1 + random(12);
      for (let k = 0; k < changes; k++) {
        const where = random(3) === 0 ? random(copy.length) : random(1536);
        copy[where] = random(4) === 0 ? [0, 255, 128, 127][random(4)]! : random(256);
      }
      const cut = random(5) === 0 ? copy.subarray(0, random(copy.length)) : copy;
      const read = readC3d(cut);
      if (!read.ok) {
        bad++;
        expect(read.fault.offset).toBeLessThanOrEqual(cut.length);
        continue;
      }
      good++;
      const { coordinates, residuals, analog } = read.capture;
      const held = coordinates.byteLength + residuals!.byteLength + (analog?.samples.byteLength ?? 0);
      expect(held).toBeLessThanOrEqual(4 * cut.length);
    }
    expect(good).toBeGreaterThan(200);
    expect(bad).toBeGreaterThan(200);
  });
});
