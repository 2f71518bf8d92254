/** A folder with captures: the table of the captures and their folder have one name, and both are kept. */
import { createHash } from 'node:crypto';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { loadDataset, packDataset, unpackDataset } from '../../../src/dataset/index.ts';
import { inTempFolder, ROSTER } from '../roster.ts';
import { bytesUnder, content, writeFiles } from './folders.ts';

const CAPTURE = Uint8Array.from({ length: 1024 }, (_, k) => (k * 37) % 256);

it('packs the tables, carries the captures over with their bytes, and gives all of it back', async () => {
  await inTempFolder(async (folder) => {
    const hash = createHash('sha256').update(CAPTURE).digest('hex');
    const at = (name: string) => join(folder, name);
    await writeFiles(at('csv'), {
      ...ROSTER,
      'captures.csv': `swing_id,file,sha256,layout\nW1,captures/S1/sw-1.c3d,${hash},captures/layout-right.json\n`,
      'captures/S1/sw-1.c3d': CAPTURE,
      'captures/layout-right.json': '{}\n',
      'captures/manifest.csv': 'file,swing_id\nS1/sw-1.c3d,W1\n',
    });
    const packed = await packDataset(at('csv'), at('packed'));
    expect(packed.problems).toEqual([]);
    expect(packed.valid && packed.value.carried.filter((path) => path.startsWith('captures/'))).toEqual([
      'captures/S1/sw-1.c3d',
      'captures/layout-right.json',
      'captures/manifest.csv',
    ]);
    const inPack = await bytesUnder(at('packed'));
    expect(Object.keys(inPack)).toContain('captures.parquet');
    expect(inPack['captures/S1/sw-1.c3d']).toBe(Buffer.from(CAPTURE).toString('base64'));
    const [csv, parquet] = [await loadDataset(at('csv')), await loadDataset(at('packed'))];
    if (!csv.valid || !parquet.valid) throw new Error(JSON.stringify([csv.problems, parquet.problems]));
    expect(content(parquet.value)).toEqual(content(csv.value));
    // The hash of the table is still that of the file.
    const file = Buffer.from(inPack['captures/S1/sw-1.c3d']!, 'base64');
    expect(parquet.value.tables.captures.text('sha256')).toEqual([
      createHash('sha256').update(file).digest('hex'),
    ]);
    const unpacked = await unpackDataset(at('packed'), at('again'));
    expect(unpacked.valid && unpacked.value.tables.every(({ sameBytes }) => sameBytes)).toBe(true);
    const { 'datapackage.json': _made, ...again } = await bytesUnder(at('again'));
    expect(again).toEqual(await bytesUnder(at('csv')));
  });
});
