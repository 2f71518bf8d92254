import { csvLine } from './csv-write.ts';
import { descriptorText, packageDescriptor } from './descriptor.ts';
import { dictionaryPage } from './dictionary.ts';
import { TABLE_NAMES, type TableName } from './generated/rows.ts';
import { writeNewFolder } from './new-files.ts';
import { tableSchema } from './schema.ts';
import { starterReadme } from './starter-readme.ts';

/**
 * Writes an empty starter folder: each table with its header and no rows, datapackage.json, a data
 * dictionary that opens in a browser, and a note on what to do. Whole or not at all.
 *
 * @throws AlreadyThereError when the folder exists and is not empty; nothing is written.
 * @example
 * await initDataset('new-roster');
 * readFileSync('new-roster/instructors.csv', 'utf8').startsWith('instructor_id') // true
 */
export async function initDataset(folder: string): Promise<void> {
  await writeNewFolder(folder, starterFiles());
}

/**
 * The files of a starter folder: content by path.
 * @example 'dictionary.html' in starterFiles() // true
 */
export function starterFiles(): Readonly<Record<string, string>> {
  const tables = TABLE_NAMES.map((name) => ({ name, columns: starterColumns(name) }));
  return {
    'README.md': starterReadme(),
    'dictionary.html': dictionaryPage(),
    'datapackage.json': descriptorText(packageDescriptor(tables)),
    ...Object.fromEntries(tables.map(({ name, columns }) => [`${name}.csv`, csvLine(columns)])),
  };
}

/** The columns of a starter table; an uncertainty (`_sd`) comes from a capture and is seldom typed. */
function starterColumns(name: TableName): string[] {
  return tableSchema(name)
    .fields.map((field) => field.name)
    .filter((column) => !column.endsWith('_sd'));
}
