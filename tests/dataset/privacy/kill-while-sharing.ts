/**
 * Kills `share` at random moments until so many hit its writing, and says what is left of export and roster. Also a script:
 *
 *     npx tsx tests/dataset/privacy/kill-while-sharing.ts 100
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
  /** Those that hit the writing: a part of an export lay beside its place, or the roster was being replaced. */
  readonly writing: number;
  /** Whole exports that stood at the kills. */
  readonly whole: number;
  /** Exports that were remembered and did not stand yet: the one at work. */
  readonly early: number;
  /** Kills before any export stood. */
  readonly none: number;
  /** What was neither absent nor whole; must be empty. */
  readonly between: readonly string[];
}

/**
 * @param kills how many that hit the writing
 * @param most the longest wait before a kill, in milliseconds
 */
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
    let [whole, early, none, writing, kill] = [0, 0, 0, 0, 0];
    for (; writing < kills; kill += 1) {
      if (kill === 20 * kills)
        throw new Error(`killWhileSharing: of ${kill} kills ${writing} hit the writing.`);
      const place = join(root, `run-${kill}`);
      const [folder, out] = [join(place, 'roster'), join(place, 'out')];
      await cp(fresh, folder, { recursive: true });
      await killedAfter(stream.uniform() * most, child, [folder, out]);
      if (await isWriting(place)) writing += 1;
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
      }
      // None stands that is not remembered; at most the export at work is remembered and does not stand yet.
      if (exports.length > remembered || remembered - exports.length > 1)
        between.push(`kill ${kill}: ${exports.length} exports, ${remembered} remembered`);
      early += Math.max(0, remembered - exports.length);
      await rm(place, { recursive: true });
    }
    return { kills: kill, writing, whole, early, none, between };
  } finally {
    await rm(root, { recursive: true, force: true });
    await rm(dirname(child), { recursive: true, force: true });
  }
}

async function isWriting(place: string): Promise<boolean> {
  const beside = await readdir(place);
  if (beside.some((name) => /^\.roster\.(making|next|previous)/.test(name))) return true;
  const out = join(place, 'out');
  for (const name of await readdir(out).catch(() => []))
    if (name.includes('.partial-') && !name.endsWith('.lock') && (await readdir(join(out, name))).length > 0)
      return true;
  return false;
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href)
  process.stdout.write(
    `${JSON.stringify(await killWhileSharing(Number(process.argv[2] ?? 100), 8, 1500))}\n`,
  );
