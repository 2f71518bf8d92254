import { TABLE_NAMES, type TableName } from '../generated/rows.ts';
import type { Problem } from '../problem.ts';
import { readTypedJson } from './json-typed.ts';

/** One Parquet file of a packed table; together, in order, they hold its rows. */
export interface PackedPart {
  readonly path: string;
  /** As datapackage.json states it, or null. */
  readonly sha256: string | null;
}

export interface PackedPlace {
  readonly parts: readonly PackedPart[];
  /** The names of the columns as the CSV table has them, where Parquet cannot hold them; null as a rule. */
  readonly columns: readonly string[] | null;
}

/** What is used of a datapackage.json: where the tables are, and the title. */
export interface ReadDescriptor {
  readonly title: string | null;
  /** CSV tables. */
  readonly paths: ReadonlyMap<TableName, string>;
  /** Parquet tables. */
  readonly packed: ReadonlyMap<TableName, PackedPlace>;
  /** The descriptor as a whole, where it can be used. */
  readonly json: Readonly<Record<string, unknown>> | null;
  readonly problems: readonly Problem[];
}

/** Reads datapackage.json; null means that there is none, which is no fault. */
export function readDescriptor(bytes: Uint8Array | null): ReadDescriptor {
  const paths = new Map<TableName, string>();
  const packed = new Map<TableName, PackedPlace>();
  const nothing = { title: null, paths, packed, json: null };
  const problems: Problem[] = [];
  const fault = (found: string, expected: string, remedy: string, column: string | null = null) =>
    problems.push({
      kind: 'bad-descriptor',
      severity: 'error',
      table: 'datapackage.json',
      row: null,
      column,
      found,
      expected,
      remedy,
    });
  if (bytes === null) return { ...nothing, problems };
  const remedy = 'Correct it, or take the file away: a folder of CSV files does without it.';
  const read = readTypedJson(bytes);
  if (!read.ok) {
    fault(read.found, 'a Data Package descriptor in JSON', remedy);
    return { ...nothing, problems };
  }
  const descriptor = read.value;
  if (!isObject(descriptor) || !Array.isArray(descriptor.resources)) {
    fault('no list of resources', 'an object with a list "resources"', remedy);
    return { ...nothing, problems };
  }
  descriptor.resources.forEach((resource: unknown, index) => {
    const where = `/resources/${index}`;
    if (!isObject(resource) || typeof resource.name !== 'string') {
      fault('a resource without a name', 'a name for each resource', remedy, where);
      return;
    }
    if (!isTableName(resource.name)) return;
    const path = resource.path;
    if (paths.has(resource.name) || packed.has(resource.name))
      fault(`${resource.name} twice`, 'each table once', remedy, where);
    else if (isParquet(resource)) {
      const place = packedPlace(resource);
      if (place !== null) packed.set(resource.name, place);
      else
        fault(
          shown(path),
          'paths inside the folder, with / between their parts and no . or .., each once',
          'Put the files into the folder and write their paths from there.',
          `${where}/path`,
        );
    } else if (typeof path !== 'string')
      fault(shown(path), 'the path of one CSV file', 'Name one CSV file for the table.', `${where}/path`);
    else if (!isSafePath(path))
      fault(
        path,
        'a path inside the folder, with / between its parts and no . or ..',
        'Put the file into the folder and write its path from there.',
        `${where}/path`,
      );
    else paths.set(resource.name, path);
  });
  const title = typeof descriptor.title === 'string' ? descriptor.title : null;
  return { title, paths, packed, json: descriptor, problems };
}

function isParquet(resource: Readonly<Record<string, unknown>>): boolean {
  return resource.format === 'parquet' || /\.parquet$/i.test(pathsOf(resource.path)[0] ?? '');
}

function pathsOf(path: unknown): readonly string[] {
  const paths: readonly unknown[] = Array.isArray(path) ? path : [path];
  return paths.every((one) => typeof one === 'string') ? (paths as readonly string[]) : [];
}

/** Where a Parquet table is; null when a path is missing, unsafe or named twice. */
function packedPlace(resource: Readonly<Record<string, unknown>>): PackedPlace | null {
  const paths = pathsOf(resource.path);
  if (paths.length === 0 || !paths.every(isSafePath) || new Set(paths).size < paths.length) return null;
  const stated = new Map<unknown, unknown>([[paths[0], paths.length === 1 ? resource.hash : undefined]]);
  if (Array.isArray(resource.parts))
    for (const part of resource.parts as readonly unknown[])
      if (isObject(part)) stated.set(part.path, part.hash);
  const csv = isObject(resource.csv) ? resource.csv.columns : undefined;
  const columns =
    Array.isArray(csv) && csv.every((name) => typeof name === 'string') ? (csv as readonly string[]) : null;
  return { parts: paths.map((path) => ({ path, sha256: sha256In(stated.get(path)) })), columns };
}

function sha256In(hash: unknown): string | null {
  return typeof hash === 'string'
    ? (/^sha256:([0-9a-f]{64})$/i.exec(hash)?.[1]?.toLowerCase() ?? null)
    : null;
}

function isObject(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function isTableName(name: string): name is TableName {
  return (TABLE_NAMES as readonly string[]).includes(name);
}

function shown(value: unknown): string {
  return value === undefined ? 'no path' : JSON.stringify(value);
}

/** Whether a POSIX path stays inside the folder it is relative to. */
export function isSafePath(path: string): boolean {
  return (
    path !== '' &&
    !/[\\:\0]/.test(path) &&
    path.split('/').every((part) => part !== '' && part !== '.' && part !== '..')
  );
}
