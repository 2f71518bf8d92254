/**
 * Kills packing and unpacking at random moments and looks at what is left:
 *
 *   npx tsx tests/dataset/store/killed.ts 200
 */
import { mkdir, mkdtemp, readdir, rm, symlink } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { packDataset, unpackDataset } from '../../../src/dataset/index.ts';
import { createStream } from '../../../src/numerics/index.ts';
import { bundledChild, killedAfter } from '../killed-child.ts';
import { bytesUnder } from './folders.ts';

export interface Killed {
  readonly kills: number;
  /** Kills that fell while a folder was being made, by the unfinished one beside its place. */
  readonly amidst: number;
  /** Whole folders that stood at the kills. */
  readonly whole: number;
  /** Folders that were neither absent nor whole, and datasets that were changed; must be empty. */
  readonly between: readonly string[];
}

const HOUSE = fileURLToPath(new URL('../../../', import.meta.url));

/** @param most the longest wait before a kill, in milliseconds */
export async function killPacks(kills: number, seed: number, most: number): Promise<Killed> {
  const root = await mkdtemp(join(tmpdir(), 'killed-'));
  try {
    const child = await childIn(root);
    const csv = join(HOUSE, 'synthetic', 'demo');
    const before = JSON.stringify(await bytesUnder(csv));
    const peace = join(root, 'peace');
    await packDataset(csv, join(peace, 'packed'));
    await unpackDataset(join(peace, 'packed'), join(peace, 'unpacked'));
    const expected = new Map(
      await Promise.all(
        ['packed', 'unpacked'].map(
          async (kind): Promise<[string, string]> => [
            kind,
            JSON.stringify(await bytesUnder(join(peace, kind))),
          ],
        ),
      ),
    );
    const stream = createStream(seed, 'moments');
    const between: string[] = [];
    let [amidst, whole] = [0, 0];
    for (let kill = 0; kill < kills; kill += 1) {
      const out = join(root, 'out');
      await mkdir(out);
      const wait = stream.uniform() * most;
      await killedAfter(wait, child, [csv, out]);
      const names = await readdir(out);
      if (names.some((name) => name.startsWith('.'))) amidst += 1;
      for (const name of names.filter((one) => !one.startsWith('.'))) {
        const is = JSON.stringify(await bytesUnder(join(out, name)));
        if (is === expected.get(name.split('-')[0]!)) whole += 1;
        else between.push(`kill ${kill} after ${wait} ms: ${name}`);
      }
      if (JSON.stringify(await bytesUnder(csv)) !== before) between.push(`kill ${kill}: the dataset`);
      await rm(out, { recursive: true, force: true });
    }
    return { kills, amidst, whole, between };
  } finally {
    await rm(root, { recursive: true, force: true });
  }
}

/** The bundle in a place from which it finds the engine. */
async function childIn(root: string): Promise<string> {
  await symlink(join(HOUSE, 'node_modules'), join(root, 'node_modules'));
  return bundledChild(join(import.meta.dirname, 'pack-child.ts'), root);
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href)
  process.stdout.write(`${JSON.stringify(await killPacks(Number(process.argv[2] ?? 200), 8, 2500))}\n`);
