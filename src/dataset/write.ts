import { tableToCsv } from './csv-write.ts';
import type { Dataset } from './dataset.ts';
import { type DescriptorOptions, descriptorText, packageDescriptor } from './descriptor.ts';
import { type FileContent, writeNewFolder } from './new-files.ts';

/** What is written beside the tables. */
export interface WriteOptions extends DescriptorOptions {
  /** Further files to put into the folder, by path relative to it (such as truth.json). */
  readonly files?: Readonly<Record<string, FileContent>>;
}

/**
 * Writes a dataset as a folder of CSV tables and datapackage.json, whole or not at all. Reading it back
 * gives the same tables.
 *
 * @throws AlreadyThereError when the folder exists and is not empty; nothing is written.
 * @example
 * await writeDataset('out', dataset, { title: 'Invented roster' });
 * (await loadDataset('out')).valid // true
 */
export async function writeDataset(
  folder: string,
  dataset: Dataset,
  options: WriteOptions = {},
): Promise<void> {
  await writeNewFolder(folder, { ...options.files, ...datasetFiles(dataset, options) });
}

/**
 * The files of a dataset's folder: content by path.
 *
 * @example
 * const files = datasetFiles(dataset);
 * Object.keys(files)[0] // 'datapackage.json'
 * files['golfers.csv'].split('\n')[0] // 'golfer_id,plays,handicap_index,age_band,height_cm,consent_scope,consent_date'
 */
export function datasetFiles(dataset: Dataset, options: DescriptorOptions = {}): Record<string, string> {
  const tables = dataset.given.map((name) => dataset.tables[name]);
  const title = options.title ?? dataset.title ?? undefined;
  const descriptor = packageDescriptor(
    tables.map((table) => ({ name: table.name, columns: table.columnNames })),
    { ...options, ...(title === undefined ? {} : { title }) },
  );
  return {
    'datapackage.json': descriptorText(descriptor),
    ...Object.fromEntries(tables.map((table) => [`${table.name}.csv`, tableToCsv(table)])),
  };
}
