/** A table in several files: a descriptor as the standard wants it, and the very answers of the CSV folder. */
import { readFile, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Ajv } from 'ajv';
import { expect, it } from 'vitest';
import { packageDescriptor } from '../../../src/dataset/descriptor.ts';
import { loadDataset, packDataset, sha256Hex } from '../../../src/dataset/index.ts';
import { readDescriptor } from '../../../src/dataset/read/descriptor.ts';
import { packedResource } from '../../../src/dataset/store/packed-descriptor.ts';
import { writeParquet } from '../../../src/dataset/store/write-parquet.ts';
import { withSqlEngine } from '../../../src/dataset/sums/sql-engine.ts';
import { studies } from '../../../src/studies/index.ts';
import { inTempFolder } from '../roster.ts';
import { content } from './folders.ts';

const isDescriptor = new Ajv({ allErrors: true, allowUnionTypes: true }).compile(
  JSON.parse(await readFile(new URL('../data-package-standard.json', import.meta.url), 'utf8')),
);
const DEMO = fileURLToPath(new URL('../../../synthetic/demo', import.meta.url));

const swingsOf = async (folder: string) => {
  const descriptor = JSON.parse(await readFile(join(folder, 'datapackage.json'), 'utf8'));
  const swings = descriptor.resources.find(({ name }: { name: string }) => name === 'swings');
  return { descriptor, swings };
};

it('has a valid descriptor that states path, bytes, hash and rows of each part', async () => {
  await inTempFolder(async (folder) => {
    // A part has about a million rows; one column of them is soon written.
    const rows = 1_110_000;
    const parts = await withSqlEngine({}, (engine) =>
      writeParquet(
        engine,
        `SELECT n % 40 AS order_in_session FROM range(${rows}) AS r(n)`,
        folder,
        { path: 'swings.parquet', partsFolder: 'swings' },
        { rows, hasMinusZero: false },
      ),
    );
    const made = packageDescriptor([{ name: 'swings', columns: ['order_in_session'] }]);
    const [before] = made.resources as [Readonly<Record<string, unknown>>];
    const csv = { path: 'swings.csv', sha256: sha256Hex('x'), bytes: 1, columns: null };
    const swings = packedResource(before, parts, csv);
    const descriptor = { ...made, resources: [swings] };
    expect(isDescriptor(descriptor), JSON.stringify(isDescriptor.errors)).toBe(true);
    expect(swings.path).toEqual(['swings/part-00001.parquet', 'swings/part-00002.parquet']);
    expect(swings.rows).toBe(rows);
    for (const part of swings.parts as { path: string; bytes: number; hash: string }[]) {
      const file = await readFile(join(folder, part.path));
      expect([part.bytes, part.hash]).toEqual([file.length, `sha256:${sha256Hex(file)}`]);
    }
    expect(swings.bytes).toBe(parts.reduce((sum, part) => sum + part.bytes, 0));
    // The standard's hash is of one file; here each part has one.
    expect(swings.hash).toBeUndefined();
    // And such a list is read as the parts of one table.
    const read = readDescriptor(new TextEncoder().encode(JSON.stringify(descriptor)));
    expect(read.problems).toEqual([]);
    expect(read.packed.get('swings')!.parts).toEqual(parts.map(({ path, sha256 }) => ({ path, sha256 })));
  });
});

/** The demo with its swings in three files, as a large table is packed. */
async function partitionedDemo(folder: string): Promise<string> {
  const packed = join(folder, 'packed');
  const outcome = await packDataset(DEMO, packed);
  if (!outcome.valid) throw new Error(JSON.stringify(outcome.problems));
  const { DuckDBInstance } = await import('@duckdb/node-api');
  const instance = await DuckDBInstance.create(':memory:');
  const connection = await instance.connect();
  const { descriptor, swings } = await swingsOf(packed);
  const third = Math.ceil(swings.rows / 3);
  const parts = [];
  for (let k = 0; k < 3; k += 1) {
    const path = `swings-part-${k + 1}.parquet`;
    await connection.run(
      `COPY (SELECT * FROM read_parquet('${join(packed, 'swings.parquet')}') LIMIT ${third} OFFSET ${k * third}) TO '${join(packed, path)}' (FORMAT parquet)`,
    );
    const file = await readFile(join(packed, path));
    parts.push({ path, bytes: file.length, hash: `sha256:${sha256Hex(file)}` });
  }
  connection.closeSync();
  instance.closeSync();
  await rm(join(packed, 'swings.parquet'));
  Object.assign(swings, { path: parts.map(({ path }) => path), parts, hash: undefined });
  await writeFile(join(packed, 'datapackage.json'), JSON.stringify(descriptor));
  expect(isDescriptor(JSON.parse(JSON.stringify(descriptor))), JSON.stringify(isDescriptor.errors)).toBe(
    true,
  );
  return packed;
}

it('gives drill-trial and noise the numbers of the CSV folder, packed and in parts', async () => {
  await inTempFolder(async (folder) => {
    const plain = join(folder, 'plain');
    await packDataset(DEMO, plain);
    const answers = [];
    for (const at of [DEMO, plain, await partitionedDemo(folder)]) {
      const loaded = await loadDataset(at);
      if (!loaded.valid) throw new Error(JSON.stringify(loaded.problems));
      const findings = (['drill-trial', 'noise'] as const).map((study) => {
        const outcome = studies[study].run(loaded.value, { metric: 'shaft_lean_impact_deg' });
        if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
        // Which files were read is all that may differ.
        const { provenance: _files, ...finding } = outcome.finding;
        return finding;
      });
      answers.push({ findings, content: content(loaded.value) });
    }
    const [fromCsv, packed, inParts] = answers;
    expect(packed).toEqual(fromCsv);
    expect(inParts).toEqual(fromCsv);
    expect(JSON.stringify(fromCsv!.findings)).toMatch(/\d\.\d{3}/);
  });
}, 180_000);
