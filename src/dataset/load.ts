import { readdir, readFile, realpath } from 'node:fs/promises';
import { checkTables, type ReadTables } from './check-tables.ts';
import type { Dataset, InputFile } from './dataset.ts';
import { FolderInUseError } from './folder-lock.ts';
import { TABLE_NAMES, type TableName } from './generated/rows.ts';
import { sha256Hex } from './hash.ts';
import { codeOf } from './new-files.ts';
import type { Checked, Problem } from './problem.ts';
import { absentTable } from './read/absent-table.ts';
import { readDescriptor } from './read/descriptor.ts';
import { cannotBeRead, faultOf, fileInside, tooLargeToRead } from './read/inside.ts';
import { readCsvTable } from './read/read-csv.ts';
import type { ReadTable } from './read/table-reader.ts';
import { FolderUnsettledError, settleFolder } from './replace-folder.ts';
import { readPackedTables } from './store/read-packed.ts';

/**
 * Reads and checks a folder of CSV tables, or of tables packed as Parquet (`packDataset`), which give the same typed columns
 * and the same problems. golfers.csv, sessions.csv and swings.csv must be there; the others and datapackage.json may be. Nothing in the folder is changed. All problems come at once. With `mayBeEmpty`,
 * collecting may not have begun: no table need be there or have rows.
 *
 * @example
 * const loaded = await loadDataset('my-roster');
 * loaded.valid && loaded.value.tables.golfers.length // 36
 */
export async function loadDataset(
  folder: string,
  options: Pick<ReadTables, 'mayBeEmpty'> = {},
): Promise<Checked<Dataset>> {
  const root = await rootOf(folder);
  if (typeof root !== 'string') return { valid: false, problems: [root] };
  const problems: Problem[] = [];
  const tables: ReadTable[] = [];
  const files: InputFile[] = [];
  const descriptorBytes = await readInside(root, 'datapackage.json', 'datapackage.json', problems);
  if (descriptorBytes !== null) files.push({ file: 'datapackage.json', sha256: sha256Hex(descriptorBytes) });
  const descriptor = readDescriptor(descriptorBytes);
  problems.push(...descriptor.problems);
  const names = await readdir(root);
  const packed = await readPackedTables(root, descriptor.packed);
  tables.push(...packed.tables);
  problems.push(...packed.problems);
  files.push(...packed.files);
  for (const name of TABLE_NAMES) {
    if (descriptor.packed.has(name)) continue;
    const path = descriptor.paths.get(name) ?? `${name}.csv`;
    const promised = descriptor.paths.has(name) ? name : null;
    const bytes = await readInside(root, path, name, problems, promised);
    if (bytes === null) {
      problems.push(...otherSpelling(name, names));
      continue;
    }
    files.push({ file: path, sha256: sha256Hex(bytes) });
    const { read, problems: faults } = readCsvTable(name, bytes);
    problems.push(...faults);
    if (read !== null) tables.push(read);
  }
  files.sort((a, b) => (a.file < b.file ? -1 : 1));
  tables.sort((a, b) => TABLE_NAMES.indexOf(a.name) - TABLE_NAMES.indexOf(b.name));
  return checkTables({ tables, files, title: descriptor.title, problems, ...options });
}

async function rootOf(folder: string): Promise<string | Problem> {
  const fault = (found: string, remedy: string): Problem => ({
    kind: 'missing-file',
    severity: 'error',
    table: 'the folder',
    row: null,
    column: null,
    found,
    expected: 'a folder with golfers.csv, sessions.csv and swings.csv',
    remedy,
  });
  try {
    await settleFolder(folder);
    const root = await realpath(folder);
    await readdir(root);
    return root;
  } catch (error) {
    if (error instanceof FolderInUseError) return fault(`${folder} is being written`, 'Wait, and run again.');
    if (error instanceof FolderUnsettledError) return fault(`two of ${folder}`, error.message);
    if (codeOf(error) === 'ENOTDIR') return fault(`${folder} is a file`, 'Give the folder the file is in.');
    if (codeOf(error) === 'ENOENT')
      return fault(`no folder ${folder}`, "Check the spelling; 'init' makes a new folder.");
    return fault(`${folder} cannot be opened`, 'Ask for the right to read it.');
  }
}

/** The bytes of a file inside the folder; null where it is absent or must not be read. */
async function readInside(
  root: string,
  path: string,
  table: string,
  problems: Problem[],
  promised: TableName | null = null,
): Promise<Uint8Array | null> {
  const found = await fileInside(root, path);
  if ('fault' in found) problems.push(faultOf(table, found.fault));
  if ('absent' in found && promised !== null) problems.push(await absentTable(root, promised, path));
  if (!('path' in found)) return null;
  try {
    return await readFile(found.path);
  } catch (error) {
    const tooLarge = codeOf(error) === 'ERR_FS_FILE_TOO_LARGE';
    problems.push(faultOf(table, tooLarge ? tooLargeToRead(path) : cannotBeRead(path)));
    return null;
  }
}

/** A file that is most likely meant to be the table but does not carry its name. */
function otherSpelling(table: TableName, names: readonly string[]): Problem[] {
  const twin = names.find((name) => {
    const lower = name.toLowerCase();
    return (
      name !== `${table}.csv` &&
      (lower === `${table}.csv` || lower === `${table}.xlsx` || lower === `${table}.txt`)
    );
  });
  if (twin === undefined) return [];
  const remedy = twin.toLowerCase().endsWith('.csv')
    ? `Rename it to ${table}.csv.`
    : `Save it as CSV (UTF-8, with commas) under the name ${table}.csv.`;
  return [
    {
      kind: 'missing-file',
      severity: 'error',
      table,
      row: null,
      column: null,
      found: twin,
      expected: `${table}.csv`,
      remedy,
    },
  ];
}
