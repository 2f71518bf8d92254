import { readdir, realpath } from 'node:fs/promises';
import { descriptorText, packageDescriptor } from '../descriptor.ts';
import { TABLE_NAMES, type TableName } from '../generated/rows.ts';
import { csvText } from '../read/csv-text.ts';
import { readDescriptor } from '../read/descriptor.ts';
import { cannotBeRead, fileInside } from '../read/inside.ts';
import { readRegularFile } from '../read-regular-file.ts';
import { GrowingTable } from './growing-table.ts';
import { LOG_FILE } from './import-log.ts';
import type { ImportProblem } from './import-problem.ts';
import type { Tables } from './take-rows.ts';

/** A dataset's folder as an import finds it. */
export interface Existing {
  readonly tables: Tables;
  /** Where each table stands or would stand. */
  readonly paths: ReadonlyMap<TableName, string>;
  readonly descriptor: Uint8Array | null;
  readonly log: string;
}

/** @param folder null where there is no dataset yet */
export async function readExisting(
  folder: string | null,
): Promise<
  | { readonly ok: true; readonly existing: Existing }
  | { readonly ok: false; readonly problems: readonly ImportProblem[] }
> {
  const problems: ImportProblem[] = [];
  const descriptor = await bytesOf(folder, 'datapackage.json', problems);
  const read = readDescriptor(descriptor);
  for (const { found, expected, remedy } of read.problems)
    problems.push({ where: 'datapackage.json', found, expected, remedy });
  const tables = new Map<TableName, GrowingTable>();
  const paths = new Map<TableName, string>();
  const names = folder === null ? [] : await readdir(folder);
  for (const name of TABLE_NAMES) {
    const path = read.paths.get(name) ?? `${name}.csv`;
    if (!path.endsWith('.csv') || names.includes(`${name}.parquet`))
      problems.push({
        where: path,
        found: 'a table that is not kept as CSV',
        expected: `${name}.csv`,
        remedy: 'Unpack the dataset to CSV first.',
      });
    const bytes = await bytesOf(folder, path, problems);
    const decoded = bytes === null ? null : csvText(bytes);
    if (decoded !== null && 'fault' in decoded) problems.push({ where: path, ...decoded.fault });
    paths.set(name, path);
    const table = new GrowingTable(name, decoded !== null && 'text' in decoded ? decoded.text : null);
    for (const { row, found, expected, remedy } of table.faults)
      problems.push({ where: row === null ? path : `${path}, line ${row}`, found, expected, remedy });
    tables.set(name, table);
  }
  const log = await bytesOf(folder, LOG_FILE, problems);
  if (problems.length > 0) return { ok: false, problems };
  return {
    ok: true,
    existing: { tables, paths, descriptor, log: log === null ? '' : new TextDecoder().decode(log) },
  };
}

/** The bytes of a file of the folder, null where there is none; what must not be read goes to the problems. */
async function bytesOf(
  folder: string | null,
  path: string,
  problems: ImportProblem[],
): Promise<Uint8Array | null> {
  if (folder === null) return null;
  const inside = await fileInside(await realpath(folder), path);
  if ('absent' in inside) return null;
  try {
    if ('path' in inside) return await readRegularFile(inside.path);
    const { found, expected, remedy } = inside.fault;
    problems.push({ where: path, found, expected, remedy });
  } catch {
    const { found, expected, remedy } = cannotBeRead(path);
    problems.push({ where: path, found, expected, remedy });
  }
  return null;
}

/** datapackage.json with the tables as they are now; whatever else it said stays. */
export function descriptorWith({ descriptor, tables, paths }: Existing): string {
  const made = packageDescriptor(
    [...tables]
      .filter(([, table]) => table.header.length > 0)
      .map(([name, table]) => ({ name, columns: table.columns() })),
  );
  const resources = (made.resources as { name: TableName }[]).map((resource) => ({
    ...resource,
    path: paths.get(resource.name),
  }));
  if (descriptor === null) return descriptorText({ ...made, resources });
  const before = JSON.parse(new TextDecoder().decode(descriptor)) as { resources: { name?: unknown }[] };
  const ours = new Set<unknown>(resources.map(({ name }) => name));
  return descriptorText({
    ...before,
    resources: [...resources, ...before.resources.filter(({ name }) => !ours.has(name))],
  });
}
