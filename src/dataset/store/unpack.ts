import { descriptorText } from '../descriptor.ts';
import type { TableName } from '../generated/rows.ts';
import { fillNewFolder } from '../new-files.ts';
import { type Checked, isError, type Problem } from '../problem.ts';
import { isSafePath, type PackedPlace } from '../read/descriptor.ts';
import { faultOf } from '../read/inside.ts';
import { type EngineOptions, type SqlEngine, withSqlEngine } from '../sums/sql-engine.ts';
import { engineProblem } from './cells.ts';
import { openFolder } from './open-folder.ts';
import { openParquet, wholeParts } from './open-parquet.ts';
import { carryFiles, otherFiles, placeTaken } from './other-files.ts';
import { insideItself, isInside } from './pack.ts';
import { isObject, type Unpacked, unpackedResource, withResources } from './packed-descriptor.ts';
import { Refused } from './refused.ts';
import { writeCsv } from './write-csv.ts';

/** One table that was unpacked to CSV. */
export interface UnpackedTable {
  readonly table: TableName;
  readonly rows: number;
  readonly file: string;
  /** Whether the file has the very bytes of the one that was packed; null where that was not noted. */
  readonly sameBytes: boolean | null;
}

/** What was unpacked to CSV. */
export interface UnpackedDataset {
  readonly tables: readonly UnpackedTable[];
  /** Files carried along unchanged, by path. */
  readonly carried: readonly string[];
}

/**
 * Unpacks a folder of Parquet tables into a new folder of CSV tables with the same values, whole or not at all; every other
 * file is carried along. A file that is not the one that was packed, by its SHA-256, is a problem, and nothing is written.
 *
 * @throws AlreadyThereError when `out` exists and is not empty
 * @example
 * await packDataset('my-roster', 'my-roster-packed');
 * (await unpackDataset('my-roster-packed', 'my-roster-again')).valid // true
 * readFileSync('my-roster-again/swings.csv').equals(readFileSync('my-roster/swings.csv')) // true
 */
export async function unpackDataset(
  folder: string,
  out: string,
  options: EngineOptions = {},
): Promise<Checked<UnpackedDataset>> {
  const opened = await openFolder(folder);
  if ('problems' in opened) return { valid: false, problems: opened.problems };
  const { root, descriptor } = opened;
  const places = unpackedPlaces(descriptor.json, descriptor.packed);
  const own = new Set(['datapackage.json', ...[...descriptor.packed.values()].flatMap(partPaths)]);
  const others = await otherFiles(root, own);
  const taken = new Map<string, string>(others.files.map((path) => [path.toLowerCase(), path]));
  const problems: Problem[] = [...others.problems];
  if (descriptor.packed.size === 0) problems.push(nothingPacked());
  if (isInside(root, out)) problems.push(insideItself(out));
  for (const [table, { path }] of places) {
    if (!isSafePath(path)) problems.push(unsafePlace(table, path));
    else if (taken.has(path.toLowerCase())) problems.push(placeTaken(taken.get(path.toLowerCase())!));
    taken.set(path.toLowerCase(), path);
  }
  if (problems.length > 0) return { valid: false, problems };
  const tables: UnpackedTable[] = [];
  try {
    await fillNewFolder(out, async (put, partial) => {
      await withSqlEngine(options, async (engine) => {
        for (const [table, place] of descriptor.packed) {
          const done = await unpackTable(engine, root, table, place, partial, places.get(table)!);
          if ('problems' in done) problems.push(...done.problems);
          else tables.push(done);
        }
      });
      if (problems.some(isError)) throw new Refused(problems);
      await carryFiles(root, partial, others.files);
      const resources = new Map([...places].map(([table, { resource }]) => [table, resource]));
      await put('datapackage.json', descriptorText(withResources(descriptor.json ?? {}, resources)));
    });
  } catch (error) {
    if (error instanceof Refused) return { valid: false, problems: error.problems };
    throw error;
  }
  return { valid: true, value: { tables, carried: others.files }, problems };
}

function partPaths({ parts }: PackedPlace): string[] {
  return parts.map(({ path }) => path);
}

function unpackedPlaces(
  json: Readonly<Record<string, unknown>> | null,
  packed: ReadonlyMap<TableName, PackedPlace>,
): ReadonlyMap<TableName, Unpacked> {
  const resources = ((json?.resources ?? []) as readonly unknown[]).filter(isObject);
  return new Map(
    [...packed.keys()].map((table) => [
      table,
      unpackedResource(resources.find(({ name }) => name === table) ?? {}, table),
    ]),
  );
}

async function unpackTable(
  engine: SqlEngine,
  root: string,
  table: TableName,
  place: PackedPlace,
  partial: string,
  { path, sha256 }: Unpacked,
): Promise<UnpackedTable | { readonly problems: readonly Problem[] }> {
  const whole = await wholeParts(root, table, place);
  const opened = whole.ok ? await openParquet(engine, table, place, whole.value) : whole;
  if (!opened.ok) return { problems: opened.problems };
  try {
    const written = await writeCsv(engine, opened.value, partial, path);
    return {
      table,
      rows: written.rows,
      file: path,
      sameBytes: sha256 === null ? null : sha256 === written.sha256,
    };
  } catch (error) {
    if (error instanceof Error && 'code' in error) throw error;
    return { problems: [engineProblem(table, partPaths(place).join(', '), error)] };
  }
}

function nothingPacked(): Problem {
  return faultOf('the folder', {
    kind: 'missing-file',
    found: 'no Parquet table',
    expected: "a folder made by 'pack', with its datapackage.json",
    remedy: 'The folder can be used as it is.',
  });
}

function unsafePlace(table: TableName, path: string): Problem {
  return faultOf(table, {
    kind: 'bad-descriptor',
    found: path,
    expected: 'a path inside the folder, with / between its parts and no . or ..',
    remedy: 'Correct "csv" of the table in datapackage.json.',
  });
}
