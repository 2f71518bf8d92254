import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { readRegularFile } from '../read-regular-file.ts';
import { checkMapping } from './mapping.ts';

const KEPT_MAPPING = /^[0-9a-f]{64}-mapping-[0-9a-f]{16}\.json$/;

/**
 * Whose name was whose code in earlier imports, from the mappings that were kept with the originals. A spelling that
 * stood for two golfers, and a golfer whom the dataset has no longer, are left out; a file that is no mapping is passed over.
 *
 * @param folder of the dataset
 * @param known golfers that the dataset has
 * @returns the code by the spelling, letter for letter; none where nothing was imported
 * @example (await knownNames('my-roster', new Set(['G01']))).size // 0: nothing was imported into it
 */
export async function knownNames(
  folder: string,
  known: ReadonlySet<string>,
): Promise<ReadonlyMap<string, string>> {
  const originals = join(folder, 'originals');
  const files = await readdir(originals).catch(() => []);
  const codes = new Map<string, Set<string>>();
  for (const file of files.filter((name) => KEPT_MAPPING.test(name)).sort())
    for (const { golfer_id, written } of await golfersIn(join(originals, file)))
      if (known.has(golfer_id))
        for (const name of written) codes.set(name, (codes.get(name) ?? new Set()).add(golfer_id));
  return new Map([...codes].flatMap(([name, ids]) => (ids.size === 1 ? [[name, [...ids][0]!]] : [])));
}

async function golfersIn(file: string) {
  try {
    const checked = checkMapping(JSON.parse(new TextDecoder().decode(await readRegularFile(file))));
    return checked.ok ? checked.mapping.golfers : [];
  } catch {
    return [];
  }
}
