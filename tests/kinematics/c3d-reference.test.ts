import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { type Capture, readC3d } from '../../src/kinematics/index.ts';
import { sharedReference } from '../reference/shared.ts';

interface Expected {
  readonly proc: 'INTEL' | 'DEC' | 'MIPS';
  readonly storage: 'int' | 'float';
  readonly points: number;
  readonly first: number;
  readonly last: number;
  readonly rate: number;
  readonly analogPerFrame: number;
  readonly aspf: number;
  readonly units: string;
  readonly labels: readonly string[];
  readonly hdr_events: readonly (readonly [string, number, number])[];
  readonly samples: readonly {
    readonly marker: number;
    readonly frame: number;
    readonly xyz: readonly number[];
    readonly resid: number;
    readonly nvalid: number;
    readonly lastxyz: readonly number[];
  }[];
}

// Expected values by an independent reader, beside the files; the files themselves may not be copied here.
const folder = sharedReference('c3d/expected.json');
const expected: Record<string, Expected> = folder ? JSON.parse(readFileSync(folder, 'utf8')) : {};
const pathOf = (name: string): string | null =>
  name === 'golfswing.c3d'
    ? sharedReference('swing/real-swing.c3d')
    : sharedReference(`c3d/${name.replace('kinematics_', '')}`);

function open(name: string): { readonly capture: Capture; readonly warnings: readonly string[] } {
  const read = readC3d(readFileSync(pathOf(name)!));
  if (!read.ok) throw new Error(`${name}: ${JSON.stringify(read.fault)}`);
  return read;
}

function pointOf({ coordinates, labels }: Capture, frame: number, marker: number): number[] {
  const at = 3 * (frame * labels.length + marker);
  return [...coordinates.slice(at, at + 3)];
}

describe.skipIf(!folder)('C3D files of the reference folder', () => {
  it('has files to read', () => expect(Object.keys(expected)).toHaveLength(10));

  for (const [name, entry] of Object.entries(expected)) {
    describe(name, () => {
      it('reads the stated format, counts and names', () => {
        const { capture } = open(name);
        expect(capture.byteOrder).toBe({ INTEL: 'Intel', DEC: 'DEC', MIPS: 'SGI' }[entry.proc]);
        expect(capture.encoding).toBe(entry.storage === 'int' ? 'integer' : 'float');
        expect(capture.frames).toBe(entry.last - entry.first + 1);
        expect(capture.firstFrame).toBe(entry.first);
        expect(capture.rateHz).toBeCloseTo(entry.rate, 3);
        expect(capture.labels).toEqual(entry.labels.map((label) => label.trim()));
        expect(capture.unit).toBe(entry.units.replaceAll('\0', '').trim());
      });

      it('reads the header events', () => {
        const { capture } = open(name);
        const events = capture.events.filter((event) => event.from === 'header');
        expect(events.map((event) => event.label)).toEqual(entry.hdr_events.map(([label]) => label.trim()));
        events.forEach((event, i) => {
          expect(event.time_s).toBeCloseTo(entry.hdr_events[i]![1], 5);
        });
      });

      it('reads the analog layout', () => {
        const { analog, frames } = open(name).capture;
        if (entry.analogPerFrame === 0) expect(analog).toBeNull();
        else {
          expect(analog!.channels).toBe(entry.analogPerFrame / entry.aspf);
          expect(analog!.rateHz).toBeCloseTo(entry.rate * entry.aspf, 2);
          expect(analog!.samples).toHaveLength(entry.analogPerFrame * frames);
        }
      });

      it.each(entry.samples)('places marker $marker at frame $frame', (sample) => {
        const { capture } = open(name);
        const at = sample.frame - entry.first;
        const points = capture.labels.length;
        pointOf(capture, at, sample.marker).forEach((value, k) => {
          expect(Math.abs(value - sample.xyz[k]!)).toBeLessThan(2e-4);
        });
        expect(capture.residuals![at * points + sample.marker]).toBeCloseTo(sample.resid, 3);
        const seen = Array.from({ length: capture.frames }, (_, i) => i).filter(
          (i) => capture.residuals![i * points + sample.marker]! >= 0,
        );
        expect(seen).toHaveLength(sample.nvalid);
        expect(seen.every((i) => !pointOf(capture, i, sample.marker).some(Number.isNaN))).toBe(true);
        pointOf(capture, seen.at(-1)!, sample.marker).forEach((value, k) => {
          expect(Math.abs(value - sample.lastxyz[k]!)).toBeLessThan(2e-4);
        });
      });
    });
  }

  it('agrees on one motion in all six encodings: integers to the unit, as each writer rounded them', () => {
    const first = open('pc_real.c3d').capture;
    // Single precision, as the files keep it.
    const unit = 0.28118187189102173;
    // The float files hold whole units times the scale. The writers of two integer files divided in single precision and
    // cut the rest off, which takes 59 of the 8,928 values down by one where the quotient falls just short; the third
    // rounded. Each rule gives every value of its file, and rounding is within half a unit.
    const written: readonly (readonly [string, ((quotient: number) => number) | null])[] = [
      ['dec_real', null],
      ['sgi_real', null],
      ['pc_int', Math.trunc],
      ['sgi_int', Math.trunc],
      ['dec_int', Math.round],
    ];
    for (const [name, whole] of written) {
      const { capture } = open(`${name}.c3d`);
      expect(capture.labels).toEqual(first.labels);
      expect(capture.frames).toBe(first.frames);
      let [worst, compared, cutDown] = [0, 0, 0];
      first.coordinates.forEach((a, i) => {
        const b = capture.coordinates[i]!;
        expect(Number.isNaN(b)).toBe(Number.isNaN(a));
        if (Number.isNaN(a)) return;
        compared++;
        const quotient = Math.fround(a / unit);
        worst = Math.max(worst, Math.abs(b - (whole ? whole(quotient) * unit : a)));
        if (whole && whole(quotient) !== Math.round(quotient)) cutDown++;
      });
      expect(compared).toBe(8928);
      expect(worst).toBeLessThan(whole ? 1e-3 : 1e-9);
      expect(cutDown).toBe(whole === Math.trunc ? 59 : 0);
    }
  });

  it('reads the real swing despite its header and says what was wrong', () => {
    const { warnings } = open('golfswing.c3d');
    expect(warnings.join('\n')).toMatch(/POINT:FRAMES states 515 frames; 514 were read/);
    expect(warnings.join('\n')).toMatch(/DATA_START says block 0/);
    expect(warnings.join('\n')).toMatch(/states 3 blocks but runs to byte/);
  });

  it('refuses every reference file cut short, with the byte at which it ends', () => {
    for (const name of Object.keys(expected)) {
      const bytes = readFileSync(pathOf(name)!);
      for (const share of [0, 0.0005, 0.01, 0.1, 0.5, 0.9]) {
        const cut = bytes.subarray(0, Math.floor(bytes.length * share));
        const read = readC3d(cut);
        expect(read.ok, `${name} cut to ${share}`).toBe(false);
        if (!read.ok) {
          expect(read.fault.offset).toBeLessThanOrEqual(cut.length);
          expect(read.fault.remedy).toMatch(/\w/);
        }
      }
    }
  });
});
