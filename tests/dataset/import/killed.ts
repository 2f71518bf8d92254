/**
 * Kills imports at random moments and looks at what is left:
 *
 *   npx tsx tests/dataset/import/killed.ts 200
 */
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { uniformInt } from 'pure-rand/distribution/uniformInt';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { loadDataset } from '../../../src/dataset/index.ts';
import { bundledChild, killedAfter } from '../killed-child.ts';
import { SWINGS } from './lesson.ts';

export interface Killed {
  readonly kills: number;
  /** Imports that were whole when the last kill came. */
  readonly imports: number;
  /** Kills after which a new import stood, and those after which the old state stood. */
  readonly newer: number;
  readonly same: number;
  /** What was neither; must be empty. */
  readonly between: readonly string[];
}

/** @param most the longest wait before a kill, in milliseconds */
export async function killImports(kills: number, seed: number, most: number): Promise<Killed> {
  const root = await mkdtemp(join(tmpdir(), 'killed-'));
  try {
    const child = await bundledChild(join(import.meta.dirname, 'import-child.ts'), root);
    const data = join(root, 'data');
    const stream = xoroshiro128plus(seed);
    const between: string[] = [];
    let [imports, newer, same] = [0, 0, 0];
    for (let kill = 0; kill < kills; kill += 1) {
      await killedAfter(uniformInt(stream, 0, most), child, [data, `${imports + 1}`]);
      const now = await wholeImports(data);
      if (typeof now === 'string' || now < imports) between.push(`kill ${kill}: ${now}`);
      else {
        if (now > imports) newer += 1;
        else same += 1;
        imports = now;
      }
    }
    return { kills, imports, newer, same, between };
  } finally {
    await rm(root, { recursive: true, force: true });
  }
}

/** How many imports the dataset holds, or what is not whole about it. Reading it settles what was interrupted. */
async function wholeImports(data: string): Promise<number | string> {
  const loaded = await loadDataset(data, { mayBeEmpty: true });
  if (!loaded.valid) {
    const [first] = loaded.problems;
    return first?.kind === 'missing-file' && first.table === 'the folder' ? 0 : JSON.stringify(first);
  }
  const { golfers, sessions, swings } = loaded.value.tables;
  const log = await readFile(join(data, 'import-log.jsonl'), 'utf8');
  const logged = log.split('\n').filter((line) => line.includes('"what":"file"')).length;
  const rows = log.split('\n').filter((line) => line.includes('"what":"row"')).length;
  const whole =
    golfers.length === logged &&
    sessions.length === logged &&
    swings.length === SWINGS * logged &&
    rows === SWINGS * logged;
  return whole
    ? logged
    : `${golfers.length} golfers, ${sessions.length} sessions, ${swings.length} swings, ${logged} imports logged with ${rows} rows`;
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href)
  process.stdout.write(`${JSON.stringify(await killImports(Number(process.argv[2] ?? 200), 8, 250))}\n`);
