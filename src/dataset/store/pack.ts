import { resolve, sep } from 'node:path';
import { descriptorText, packageDescriptor } from '../descriptor.ts';
import { TABLE_NAMES, type TableName } from '../generated/rows.ts';
import { fillNewFolder } from '../new-files.ts';
import { type Checked, isError, type Problem } from '../problem.ts';
import { absentTable } from '../read/absent-table.ts';
import { faultOf, fileInside } from '../read/inside.ts';
import { type EngineOptions, withSqlEngine } from '../sums/sql-engine.ts';
import { openFolder } from './open-folder.ts';
import { carryFiles, otherFiles, placeTaken } from './other-files.ts';
import { type PackedTable, packTable, type TableSource, type WrittenTable } from './pack-table.ts';
import { isObject, packedResource, withResources } from './packed-descriptor.ts';
import { Refused } from './refused.ts';

/** What was packed as Parquet. */
export interface PackedDataset {
  readonly tables: readonly PackedTable[];
  /** Files carried along unchanged, by path. */
  readonly carried: readonly string[];
}

/**
 * Packs a folder of CSV tables into a new folder of Parquet tables, without change of a value: `unpackDataset` gives it back,
 * and `loadDataset` reads either alike. Texts stay texts (an id 007 or 1e5 is never a number), numbers are held in double
 * precision, empty cells are null, dates and yes/no have types of their own; a column with a cell that its type cannot hold
 * stays text, as it was written. Every other file, captures among them, is carried along unchanged. The descriptor states place, length and SHA-256 of each
 * file. Rows go through the engine in pieces, so the size of a table does not matter; the new folder appears whole or not
 * at all, and the same folder gives the same bytes.
 *
 * The data are not judged; that is what `loadDataset` does. A file that is no table (rows of other lengths, a quote out of
 * place) is a problem, and nothing is written.
 *
 * @throws AlreadyThereError when `out` exists and is not empty
 * @example (await packDataset('my-roster', 'my-roster-packed')).valid // true
 */
export async function packDataset(
  folder: string,
  out: string,
  options: EngineOptions = {},
): Promise<Checked<PackedDataset>> {
  const opened = await openFolder(folder);
  if ('problems' in opened) return { valid: false, problems: opened.problems };
  const { root, descriptor } = opened;
  const problems: Problem[] = [...descriptor.packed.keys()].map(packedAlready);
  if (isInside(root, out)) problems.push(insideItself(out));
  const found = await sourcesOf(root, descriptor.paths, problems);
  const others = await otherFiles(root, new Set(['datapackage.json', ...found.map(({ path }) => path)]));
  const sources = found.map((source) => ({ ...source, partsFolder: freeFolder(source, others.files) }));
  problems.push(
    ...others.problems,
    ...others.files.filter((path) => sources.some(needs(path))).map(placeTaken),
  );
  if (problems.some(isError)) return { valid: false, problems };
  const tables: WrittenTable[] = [];
  try {
    await fillNewFolder(out, async (put, partial) => {
      await withSqlEngine(options, async (engine) => {
        for (const source of sources) {
          const packed = await packTable(engine, source, partial);
          if ('problems' in packed) problems.push(...packed.problems);
          else tables.push(packed);
        }
      });
      if (problems.some(isError)) throw new Refused(problems);
      await carryFiles(root, partial, others.files);
      await put('datapackage.json', descriptorText(packedDescriptor(descriptor.json, tables)));
    });
  } catch (error) {
    if (error instanceof Refused) return { valid: false, problems: error.problems };
    throw error;
  }
  return {
    valid: true,
    value: { tables: tables.map(({ packed }) => packed), carried: others.files },
    problems,
  };
}

export function isInside(root: string, out: string): boolean {
  return resolve(out) === root || resolve(out).startsWith(root + sep);
}

async function sourcesOf(
  root: string,
  paths: ReadonlyMap<TableName, string>,
  problems: Problem[],
): Promise<Omit<TableSource, 'partsFolder'>[]> {
  const sources: Omit<TableSource, 'partsFolder'>[] = [];
  for (const table of TABLE_NAMES) {
    const path = paths.get(table) ?? `${table}.csv`;
    const found = await fileInside(root, path);
    if ('fault' in found) problems.push(faultOf(table, found.fault));
    else if ('path' in found)
      sources.push({ table, path, real: found.path, packedPath: `${path.replace(/\.csv$/i, '')}.parquet` });
    else if (paths.has(table)) problems.push(await absentTable(root, table, path));
  }
  if (sources.length === 0 && !problems.some(isError)) problems.push(noTables());
  return sources;
}

/** Whether a table needs the place of another file. */
const needs =
  (path: string) =>
  ({ packedPath }: TableSource): boolean =>
    isAt(path, packedPath);

/** Whether a path is a place or lies below it, on a disk that does not tell capitals apart. */
function isAt(path: string, place: string): boolean {
  const [folded, at] = [path.toLowerCase(), place.toLowerCase()];
  return folded === at || folded.startsWith(`${at}/`);
}

/** Where the parts of a table go if it has several: into a folder of its name, which that of the captures has already. */
function freeFolder({ packedPath }: Pick<TableSource, 'packedPath'>, others: readonly string[]): string {
  const name = packedPath.replace(/\.parquet$/, '');
  for (let k = 0; ; k += 1) {
    const folder = k === 0 ? name : k === 1 ? `${name}-parts` : `${name}-parts-${k}`;
    if (!others.some((path) => isAt(path, folder) || isAt(path, `${folder}.partial`))) return folder;
  }
}

function packedDescriptor(
  before: Readonly<Record<string, unknown>> | null,
  tables: readonly WrittenTable[],
): Readonly<Record<string, unknown>> {
  const own = packageDescriptor(tables.map(({ packed, columns }) => ({ name: packed.table, columns })));
  const json = before ?? own;
  const resources = [...(json.resources as readonly unknown[]), ...(own.resources as readonly unknown[])];
  return withResources(
    json,
    new Map(
      tables.map(({ packed, parts, csv }) => {
        const resource = resources.filter(isObject).find(({ name }) => name === packed.table);
        return [packed.table, packedResource(resource ?? { name: packed.table }, parts, csv)];
      }),
    ),
  );
}

function packedAlready(table: TableName): Problem {
  return faultOf(table, {
    kind: 'bad-descriptor',
    found: `${table} as Parquet`,
    expected: 'CSV tables',
    remedy: 'The folder is packed already. To have CSV, unpack it.',
  });
}

export function insideItself(out: string): Problem {
  return faultOf('the folder', {
    kind: 'unreadable-file',
    found: `${out}, inside the dataset itself`,
    expected: 'a new folder outside the dataset',
    remedy: 'Give a folder beside the dataset.',
  });
}

function noTables(): Problem {
  return faultOf('the folder', {
    kind: 'missing-file',
    found: 'no table',
    expected: 'a folder with golfers.csv, sessions.csv and swings.csv',
    remedy: "Check the spelling; 'init' makes a new folder.",
  });
}
