import { execFileSync } from 'node:child_process';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ByteFinder } from '../../../src/dataset/privacy/byte-finder.ts';
import { piecesOf, sourceOfBytes, withFileSource } from '../../../src/dataset/privacy/byte-source.ts';
import { lookInside, SIZES } from '../../../src/dataset/privacy/look-inside.ts';
import { recordsOf } from '../../../src/dataset/privacy/records.ts';
import { textOf } from '../../../src/dataset/privacy/text-of.ts';
import { recordLists } from '../../../src/dataset/privacy/text-records.ts';
import { withoutMarkup } from '../../../src/dataset/privacy/without-markup.ts';
import { fromWindows1252, toWindows1252 } from '../../../src/dataset/read/windows-1252.ts';
import { inTempFolder } from '../roster.ts';
import { zipOf } from './full-folder.ts';

const SOUGHT = { golfers: ['G1'], words: ['G1', 'Jürg'], others: ['G1-2'] };

describe('what is read in pieces', () => {
  it('is found alike however it is cut', async () => {
    const text = fc.string({
      unit: fc.constantFrom('G', '1', '-', '2', 'J', 'ü', 'rg', ' ', '\n'),
      maxLength: 300,
    });
    const encodings = fc.constantFrom('utf8', 'utf16le', 'latin1');
    await fc.assert(
      fc.asyncProperty(text, encodings, fc.integer({ min: 1, max: 400 }), async (given, encoding, size) => {
        const bytes = Buffer.from(given, encoding as BufferEncoding);
        const finder = new ByteFinder(SOUGHT);
        const inPieces = await finder.isInPieces(piecesOf(sourceOfBytes(bytes), size));
        expect(inPieces).toBe(finder.isIn(bytes));
      }),
      { numRuns: 500, seed: 8 },
    );
  });

  it('is cut into the same records however it is cut into pieces', async () => {
    const text = fc.string({ unit: fc.constantFrom('a', '"', ',', '\r', '\n', 'é', '𝒳'), maxLength: 60 });
    await fc.assert(
      fc.asyncProperty(text, fc.boolean(), fc.integer({ min: 1, max: 70 }), async (given, isWide, size) => {
        const bytes = isWide ? Buffer.from(`\uFEFF${given}`, 'utf16le') : Buffer.from(given, 'utf8');
        const records: string[] = [];
        for await (const list of recordLists(sourceOfBytes(bytes), size)) records.push(...list.records);
        expect(records).toEqual([...recordsOf(textOf(bytes).text)]);
      }),
      { numRuns: 500, seed: 8 },
    );
  });

  it('is looked into alike whether it is held or not: zip, gzip, a zip in a zip', async () => {
    const long = `${'x'.repeat(3000)} `;
    const files = [
      [zipOf('a.txt', `${long}G1`), true],
      [zipOf('a.txt', `${long}G10`), false],
      [gzipSync(`${long}Jürg`), true],
      [gzipSync(Buffer.from(`${long}J\xfcrg`, 'latin1')), true],
      [zipOf('G1.txt', long), true],
    ] as const;
    const finder = new ByteFinder(SOUGHT);
    for (const [bytes, expected] of files)
      for (const mostHeldBytes of [100, SIZES.mostHeldBytes])
        expect(await lookInside(sourceOfBytes(bytes), finder, { pieceBytes: 64, mostHeldBytes })).toEqual({
          found: expected,
          closed: false,
        });
    // What is packed twice is held, or said to be closed; it is never passed over.
    const twice = zipOf('b.zip', zipOf('a.txt', 'G1'));
    expect(await lookInside(sourceOfBytes(twice), finder)).toEqual({ found: true, closed: false });
    const small = { pieceBytes: 64, mostHeldBytes: 50 };
    expect((await lookInside(sourceOfBytes(twice), finder, small)).closed).toBe(true);
  });

  it('is looked into in a zip file of the large format (zip64), which Python writes', async () => {
    await inTempFolder(async (folder) => {
      const file = join(folder, 'large.zip');
      const script =
        'import sys,zipfile\nz=zipfile.ZipFile(sys.argv[1],"w",zipfile.ZIP_STORED)\nfor n in range(65600): z.writestr(f"{n}","")\nwith z.open("last.txt","w",force_zip64=True) as f: f.write(b"G1")\nz.close()';
      execFileSync('python3', ['-c', script, file]);
      const look = (word: string) => {
        const finder = new ByteFinder({ golfers: [], words: [word], others: [] });
        return withFileSource(file, (source) => lookInside(source, finder));
      };
      expect(await look('G1')).toEqual({ found: true, closed: false });
      expect(await look('G2')).toEqual({ found: false, closed: false });
    });
  }, 60_000);
});

describe('Windows-1252', () => {
  it('is what Python’s codec has for each byte, and comes back', () => {
    const bytes = Uint8Array.from({ length: 256 }, (_, byte) => byte);
    const script =
      'import json\nprint(json.dumps([bytes([b]).decode("cp1252", "ignore") for b in range(256)]))';
    const known = JSON.parse(execFileSync('python3', ['-c', script], { encoding: 'utf8' })) as string[];
    // Five bytes have no character there, and one of no meaning here.
    expect(known.filter((character) => character === '')).toHaveLength(5);
    known.forEach((character, byte) => {
      if (character !== '') expect(fromWindows1252(bytes.subarray(byte, byte + 1))).toBe(character);
    });
    expect([...toWindows1252(fromWindows1252(bytes))!]).toEqual([...bytes]);
    expect(toWindows1252('\u0091')).toEqual(Buffer.from([0x91]));
    expect(toWindows1252('Ł')).toBeNull();
  });
});

describe('a text without markup', () => {
  it.each([
    ['<t>M&#252;</t><t>ller</t>', 'Müller'],
    ['J&#xFC;rg&nbsp;<b>T</b>annwald', 'Jürg\u00a0Tannwald'],
    ['a_x0041_b &unknown; &amp;', 'aAb &unknown; &'],
  ])('%s', (given, expected) => expect(withoutMarkup(given)).toBe(expected));
});
