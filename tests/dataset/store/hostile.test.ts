/** Folders and files that mean harm, and files that were damaged: a problem in words, never a crash or a wrong value. */
import { mkdir, readFile, rm, symlink, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  AlreadyThereError,
  loadDataset,
  packDataset,
  sha256Hex,
  unpackDataset,
} from '../../../src/dataset/index.ts';
import { createStream } from '../../../src/numerics/index.ts';
import { inTempFolder, ROSTER } from '../roster.ts';
import { bytesUnder, content, writeFiles } from './folders.ts';

async function packedRoster(
  folder: string,
  files: Readonly<Record<string, string>> = ROSTER,
): Promise<string> {
  await writeFiles(join(folder, 'csv'), files);
  const packed = await packDataset(join(folder, 'csv'), join(folder, 'packed'));
  if (!packed.valid) throw new Error(JSON.stringify(packed.problems));
  return join(folder, 'packed');
}

const kindsOf = (problems: readonly { kind: string; found: string }[]) =>
  problems.map(({ kind, found }) => `${kind}: ${found}`);

describe('damaged Parquet files', () => {
  it('are told from whole ones: 600 mutations, each a problem', async () => {
    await inTempFolder(async (folder) => {
      const packed = await packedRoster(folder);
      // The other tables as CSV, so that each of the many readings is quick.
      const descriptor = JSON.parse(await readFile(join(packed, 'datapackage.json'), 'utf8'));
      descriptor.resources = descriptor.resources.filter(({ name }: { name: string }) => name === 'swings');
      await writeFiles(packed, { ...ROSTER, 'datapackage.json': JSON.stringify(descriptor) });
      await rm(join(packed, 'swings.csv'));
      expect((await loadDataset(packed)).problems).toEqual([]);
      const path = join(packed, 'swings.parquet');
      const whole = await readFile(path);
      const stream = createStream(8, 'mutations');
      const pick = (limit: number) => Math.floor(stream.uniform() * limit);
      for (let k = 0; k < 600; k += 1) {
        const bytes = Buffer.from(whole);
        let mutated: Buffer = bytes;
        if (k % 4 === 0) mutated = bytes.subarray(0, pick(bytes.length));
        else if (k % 4 === 1) mutated = Buffer.concat([bytes, Buffer.alloc(1 + pick(9), pick(256))]);
        else {
          const at = pick(bytes.length);
          bytes[at] = bytes[at]! ^ (1 << pick(8));
        }
        await writeFile(path, mutated);
        const loaded = await loadDataset(packed);
        expect(loaded.valid).toBe(false);
        expect(loaded.problems.filter(({ table }) => table === 'swings').map(({ kind }) => kind)).toEqual([
          'unreadable-file',
        ]);
        if (k % 100 === 0) {
          const unpacked = await unpackDataset(packed, join(folder, `again-${k}`));
          expect(unpacked.valid).toBe(false);
        }
      }
      expect(Object.keys(await bytesUnder(folder)).some((name) => name.startsWith('again'))).toBe(false);
    });
  }, 120_000);

  it('are not read without a hash, and not believed with the wrong columns', async () => {
    await inTempFolder(async (folder) => {
      const packed = await packedRoster(folder);
      const descriptor = JSON.parse(await readFile(join(packed, 'datapackage.json'), 'utf8'));
      const swings = descriptor.resources.find(({ name }: { name: string }) => name === 'swings');
      const { hash } = swings;
      swings.hash = undefined;
      await writeFile(join(packed, 'datapackage.json'), JSON.stringify(descriptor));
      expect(kindsOf((await loadDataset(packed)).problems)).toEqual([
        'bad-descriptor: no SHA-256 of swings.parquet',
      ]);
      swings.path = ['swings.parquet', 'golfers.parquet'];
      const golfers = sha256Hex(await readFile(join(packed, 'golfers.parquet')));
      swings.parts = [
        { path: 'swings.parquet', hash },
        { path: 'golfers.parquet', hash: `sha256:${golfers}` },
      ];
      await writeFile(join(packed, 'datapackage.json'), JSON.stringify(descriptor));
      expect(kindsOf((await loadDataset(packed)).problems)).toEqual([
        'unreadable-file: golfers.parquet with other columns than the part before',
      ]);
    });
  });

  it('that hold ids as numbers are refused', async () => {
    await inTempFolder(async (folder) => {
      const packed = await packedRoster(folder);
      const { DuckDBInstance } = await import('@duckdb/node-api');
      const instance = await DuckDBInstance.create(':memory:');
      const connection = await instance.connect();
      const path = join(packed, 'golfers.parquet');
      await connection.run(`COPY (SELECT 7 AS golfer_id, 'right' AS plays) TO '${path}' (FORMAT parquet)`);
      connection.closeSync();
      instance.closeSync();
      const descriptor = JSON.parse(await readFile(join(packed, 'datapackage.json'), 'utf8'));
      descriptor.resources[0].hash = `sha256:${sha256Hex(await readFile(path))}`;
      await writeFile(join(packed, 'datapackage.json'), JSON.stringify(descriptor));
      expect(kindsOf((await loadDataset(packed)).problems)[0]).toBe(
        'unreadable-file: golfer_id held as INTEGER',
      );
    });
  });
});

describe('paths', () => {
  it.each([
    '../csv/swings.csv',
    '/etc/passwd',
    'a/../../x.parquet',
    'C:\\x.parquet',
    'https://example.org/x.parquet',
    '',
  ])('a descriptor that names %j is refused', async (path) => {
    await inTempFolder(async (folder) => {
      const packed = await packedRoster(folder);
      const text = await readFile(join(packed, 'datapackage.json'), 'utf8');
      for (const put of [path, [path], [path, 'swings.parquet']]) {
        const descriptor = JSON.parse(text);
        const swings = descriptor.resources.find(({ name }: { name: string }) => name === 'swings');
        swings.path = put;
        await writeFile(join(packed, 'datapackage.json'), JSON.stringify(descriptor));
        for (const outcome of [
          await loadDataset(packed),
          await unpackDataset(packed, join(folder, 'again')),
        ]) {
          expect(outcome.valid).toBe(false);
          expect(outcome.problems.map(({ kind }) => kind)).toContain('bad-descriptor');
        }
      }
      const descriptor = JSON.parse(text);
      descriptor.resources.find(({ name }: { name: string }) => name === 'swings').csv.path = path;
      await writeFile(join(packed, 'datapackage.json'), JSON.stringify(descriptor));
      expect((await unpackDataset(packed, join(folder, 'again'))).valid).toBe(false);
      expect(Object.keys(await bytesUnder(folder)).every((name) => /^(csv|packed)\//.test(name))).toBe(true);
    });
  });

  it('links are refused, wherever they lead', async () => {
    await inTempFolder(async (folder) => {
      const packed = await packedRoster(folder);
      await writeFile(join(folder, 'secret'), 'not of the dataset');
      for (const [at, target] of [
        ['csv', join(folder, 'secret')],
        ['csv', 'golfers.csv'],
        ['packed', join(folder, 'secret')],
      ] as const) {
        const name = `link-${at}-${target.length}`;
        await symlink(target, join(folder, at, name));
        const outcome =
          at === 'csv'
            ? await packDataset(join(folder, 'csv'), join(folder, 'new'))
            : await unpackDataset(packed, join(folder, 'new'));
        expect(kindsOf(outcome.problems)).toContain(`unreadable-file: ${name}, which is a link`);
      }
      expect(Object.keys(await bytesUnder(folder)).some((name) => name.startsWith('new/'))).toBe(false);
    });
  });

  it('a table that is a link out of the folder is refused', async () => {
    await inTempFolder(async (folder) => {
      const { 'golfers.csv': golfers, ...others } = ROSTER;
      await writeFiles(join(folder, 'csv'), others);
      await writeFile(join(folder, 'golfers.csv'), golfers!);
      await symlink(join(folder, 'golfers.csv'), join(folder, 'csv', 'golfers.csv'));
      const packed = await packDataset(join(folder, 'csv'), join(folder, 'packed'));
      expect(kindsOf(packed.problems)).toContain(
        'unreadable-file: golfers.csv, which leads out of the folder',
      );
    });
  });

  it('names that an engine would take for patterns or for places on a network are plain names', async () => {
    await inTempFolder(async (folder) => {
      const odd = join(folder, `a [1] {b,c} *? it's "x" $1`);
      await mkdir(odd);
      const packed = await packedRoster(odd);
      const [csv, parquet] = [await loadDataset(join(odd, 'csv')), await loadDataset(packed)];
      if (!csv.valid || !parquet.valid) throw new Error(JSON.stringify(parquet.problems));
      expect(content(parquet.value)).toEqual(content(csv.value));
    });
  });

  it('what stands in the place of a table, a pack of a pack, and a pack into itself are refused', async () => {
    await inTempFolder(async (folder) => {
      const packed = await packedRoster(folder);
      expect(kindsOf((await packDataset(packed, join(folder, 'new'))).problems)[0]).toBe(
        'bad-descriptor: golfers as Parquet',
      );
      expect(kindsOf((await unpackDataset(join(folder, 'csv'), join(folder, 'new'))).problems)).toEqual([
        'missing-file: no Parquet table',
      ]);
      const inside = await packDataset(join(folder, 'csv'), join(folder, 'csv', 'new'));
      expect(inside.problems.map(({ expected }) => expected)).toEqual(['a new folder outside the dataset']);
      await writeFile(join(folder, 'csv', 'Swings.parquet'), 'mine');
      expect(kindsOf((await packDataset(join(folder, 'csv'), join(folder, 'new'))).problems)).toEqual([
        'unreadable-file: Swings.parquet, in the place that a table needs',
      ]);
      await rm(join(folder, 'csv', 'Swings.parquet'));
      await expect(packDataset(join(folder, 'csv'), packed)).rejects.toThrow(AlreadyThereError);
    });
  });
});
