import { TABLE_NAMES, type TableName } from '../generated/rows.ts';
import type { Problem } from '../problem.ts';

/** What is used of a datapackage.json: where the tables are, and the title. */
export interface ReadDescriptor {
  readonly title: string | null;
  readonly paths: ReadonlyMap<TableName, string>;
  readonly problems: readonly Problem[];
}

/** Reads datapackage.json; null means that there is none, which is no fault. */
export function readDescriptor(bytes: Uint8Array | null): ReadDescriptor {
  const paths = new Map<TableName, string>();
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
  if (bytes === null) return { title: null, paths, problems };
  const remedy = 'Correct it, or take the file away: a folder of CSV files does without it.';
  const descriptor = parsed(bytes);
  if (descriptor === undefined) {
    fault('text that is not JSON', 'a Data Package descriptor in JSON', remedy);
    return { title: null, paths, problems };
  }
  if (!isObject(descriptor) || !Array.isArray(descriptor.resources)) {
    fault('no list of resources', 'an object with a list "resources"', remedy);
    return { title: null, paths, problems };
  }
  descriptor.resources.forEach((resource: unknown, index) => {
    const where = `/resources/${index}`;
    if (!isObject(resource) || typeof resource.name !== 'string') {
      fault('a resource without a name', 'a name for each resource', remedy, where);
      return;
    }
    if (!isTableName(resource.name)) return;
    const path = resource.path;
    if (paths.has(resource.name)) fault(`${resource.name} twice`, 'each table once', remedy, where);
    else if (typeof path !== 'string')
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
  return { title: typeof descriptor.title === 'string' ? descriptor.title : null, paths, problems };
}

function parsed(bytes: Uint8Array): unknown {
  try {
    return JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(bytes));
  } catch {
    return undefined;
  }
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
