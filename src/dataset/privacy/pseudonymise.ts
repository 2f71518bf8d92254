import { CURVE_INSTANTS_FILE, CURVES_FILE } from '../curves/curve-set.ts';
import { filesUnder } from '../folder-replacement.ts';
import { loadDataset } from '../load.ts';
import { fillNewFolder } from '../new-files.ts';
import type { Checked, Problem } from '../problem.ts';
import { tableSchema } from '../schema.ts';
import { datasetFiles } from '../write.ts';
import { namesKnownIn } from './imports/known-imports.ts';
import { codesOf, recoded } from './recode.ts';
import { captureTable, type RecodedCaptures, recodedCaptures, recodedCurves } from './recode-files.ts';

/** What was written under pseudonyms, and what was left out. */
export interface Pseudonymised {
  readonly golfers: number;
  readonly sessions: number;
  readonly swings: number;
  readonly captures: number;
  /** Columns that the data dictionary does not know, and so nobody knows what they tell: `table.column`. */
  readonly columnsLeftOut: readonly string[];
  /** Files that hold the old ids or may hold them: reports, logs, originals, captures that could not be read. */
  readonly filesLeftOut: readonly string[];
}

/**
 * Writes a dataset anew with pseudonyms for golfers, instructors, sessions and swings. A pseudonym is a keyed hash
 * (HMAC-SHA-256) of the id: the same key gives the same pseudonym in every table and every year, and without the key
 * nobody can go from one to the other. Captures and curves come along under the new ids, captures freed of all texts;
 * whatever else lies in the folder does not, and is listed: originals, logs and mappings of imports, reports. A name that a
 * mapping knows is replaced where it stands in a text of a table. The old folder is not touched.
 *
 * Pseudonyms are not anonymity: whoever knows when somebody came, or how tall they are, can still find them. For handing
 * data on there is `shareDataset`.
 *
 * @throws AlreadyThereError when `out` exists and is not empty
 * @example
 * const key = await readKey('roster.key', { dataset: 'my-roster', make: true });
 * (await pseudonymise('my-roster', 'my-roster-coded', key.value.bytes)).valid // true
 * readFileSync('my-roster-coded/golfers.csv', 'utf8').includes('G01') // false
 */
export async function pseudonymise(
  folder: string,
  out: string,
  key: Uint8Array,
): Promise<Checked<Pseudonymised>> {
  const loaded = await loadDataset(folder);
  if (!loaded.valid) return loaded;
  const dataset = loaded.value;
  const codes = codesOf(dataset, key);
  const curves = await recodedCurves(folder, codes);
  const files = datasetFiles(recoded(dataset, codes, await namesKnownIn(folder)), {
    description: 'Under pseudonyms: who is who is known only with the key.',
  });
  let recordings: RecodedCaptures = { captures: [], layouts: new Map(), unread: [] };
  await fillNewFolder(out, async (put) => {
    recordings = await recodedCaptures(folder, dataset, codes, put);
    for (const [path, content] of [...Object.entries(files), ...curves, ...recordings.layouts])
      if (path !== 'captures.csv') await put(path, content);
    if (dataset.given.includes('captures')) await put('captures.csv', captureTable(recordings.captures));
  });
  const { captures, unread } = recordings;
  const taken = new Set([
    ...dataset.files.map(({ file }) => file),
    ...captureFiles(dataset.tables.captures.column('file'), unread),
    ...dataset.tables.captures.column('layout'),
    CURVES_FILE,
    CURVE_INSTANTS_FILE,
  ]);
  const there = [...((await filesUnder(folder)) ?? new Map<string, string>()).keys()];
  return {
    valid: true,
    problems: loaded.problems satisfies readonly Problem[],
    value: {
      golfers: dataset.tables.golfers.length,
      sessions: dataset.tables.sessions.length,
      swings: dataset.tables.swings.length,
      captures: captures.length,
      columnsLeftOut: dataset.given.flatMap((name) => {
        const known = new Set(tableSchema(name).fields.map((field) => field.name));
        return dataset.tables[name].columnNames
          .filter((column) => !known.has(column))
          .map((c) => `${name}.${c}`);
      }),
      filesLeftOut: there.filter((path) => !path.endsWith('/') && !taken.has(path)),
    },
  };
}

function captureFiles(files: readonly (string | null)[], unread: readonly string[]): (string | null)[] {
  return files.filter((file) => file === null || !unread.includes(file));
}
