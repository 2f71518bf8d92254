/**
 * Kills `share` at random moments, and says what is left of export and roster. Also a script:
 *
 *     npx tsx tests/dataset/privacy/kill-while-sharing.ts 200
 */
import { cp, mkdtemp, readdir, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { datasetFromRows, loadDataset, writeDataset } from '../../../src/dataset/index.ts';
import { createStream } from '../../../src/numerics/index.ts';
import { killedAfter } from '../killed-child.ts';
import { bundledWithSchemas } from './bundle.ts';
import { roster } from './share-roster.ts';

export interface Kills {
  readonly kills: number;
  /** Whole exports that stood at the kills, and those of them that the roster did not remember yet: the one at work. */
  readonly whole: number;
  readonly unremembered: number;
  /** Kills before any export stood. */
  readonly none: number;
  /** What was neither absent nor whole; must be empty. */
  readonly between: readonly string[];
}

/** @param most the longest wait before a kill, in milliseconds */
export async function killWhileSharing(kills: number, seed: number, most: number): Promise<Kills> {
  const child = await bundledWithSchemas(fileURLToPath(new URL('./share-child.ts', import.meta.url)));
  const root = await mkdtemp(join(tmpdir(), 'kill-share-'));
  try {
    const made = datasetFromRows(roster());
    if (!made.valid) throw new Error(JSON.stringify(made.problems));
    const fresh = join(root, 'fresh');
    await writeDataset(fresh, made.value);
    const golfers = await readFile(join(fresh, 'golfers.csv'), 'utf8');
    const stream = createStream(seed, 'moments');
    const between: string[] = [];
    let [whole, unremembered, none] = [0, 0, 0];
    for (let kill = 0; kill < kills; kill += 1) {
      const place = join(root, `run-${kill}`);
      const [folder, out] = [join(place, 'roster'), join(place, 'out')];
      await cp(fresh, folder, { recursive: true });
      await killedAfter(stream.uniform() * most, child, [folder, out]);
      const loaded = await loadDataset(folder);
      if (!loaded.valid || (await readFile(join(folder, 'golfers.csv'), 'utf8')) !== golfers)
        between.push(`kill ${kill}: the roster`);
      const memory = await readFile(join(folder, '.shares.jsonl'), 'utf8').catch(() => '');
      const remembered = Math.max(
        0,
        ...[...memory.matchAll(/"share":(\d+)/g)].map((match) => Number(match[1])),
      );
      const names = await readdir(out).catch(() => []);
      const exports = names.filter((name) => name.startsWith('export-'));
      if (exports.length === 0) none += 1;
      for (const name of exports) {
        const one = await loadDataset(join(out, name));
        if (one.valid && (await readdir(join(out, name))).includes('README.md')) whole += 1;
        else between.push(`kill ${kill}: ${name}`);
        if (Number(name.slice('export-'.length)) > remembered) unremembered += 1;
      }
      // At most the export at work is not remembered; none is remembered that is not there.
      if (exports.length - remembered > 1 || remembered > exports.length)
        between.push(`kill ${kill}: ${exports.length} exports, ${remembered} remembered`);
      await rm(place, { recursive: true });
    }
    return { kills, whole, unremembered, none, between };
  } finally {
    await rm(root, { recursive: true, force: true });
    await rm(dirname(child), { recursive: true, force: true });
  }
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href)
  process.stdout.write(
    `${JSON.stringify(await killWhileSharing(Number(process.argv[2] ?? 200), 8, 1500))}\n`,
  );
