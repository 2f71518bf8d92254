import { mkdir, readdir, readFile, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { type Dataset, TABLE_NAMES } from '../../../src/dataset/index.ts';

/** Every file under a folder, by path, with its bytes as base64. */
export async function bytesUnder(folder: string): Promise<Record<string, string>> {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true });
  const files: Record<string, string> = {};
  for (const entry of entries)
    if (entry.isFile()) {
      const path = join(entry.parentPath, entry.name);
      files[path.slice(folder.length + 1)] = (await readFile(path)).toString('base64');
    }
  return Object.fromEntries(Object.entries(files).sort(([a], [b]) => (a < b ? -1 : 1)));
}

/** Writes files by path into a folder. */
export async function writeFiles(
  folder: string,
  files: Readonly<Record<string, string | Uint8Array>>,
): Promise<void> {
  for (const [path, content] of Object.entries(files)) {
    await mkdir(dirname(join(folder, path)), { recursive: true });
    await writeFile(join(folder, path), content);
  }
}

/** Everything a dataset holds, bit for bit, but for the files it came from. */
export function content(dataset: Dataset) {
  return {
    given: dataset.given,
    title: dataset.title,
    newestDate: dataset.newestDate,
    tables: TABLE_NAMES.map((name) => {
      const table = dataset.tables[name];
      return {
        name,
        lines: Array.from({ length: table.length }, (_, row) => table.line(row)),
        columns: table.columnNames.map((column) => {
          const stored = table.stored(column)!;
          return stored.kind === 'text'
            ? { column, texts: table.text(column) }
            : { column, bits: Buffer.from(new Uint8Array(stored.values.buffer)).toString('base64') };
        }),
      };
    }),
  };
}
