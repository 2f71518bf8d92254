import { createHash } from 'node:crypto';
import { createReadStream, readFileSync } from 'node:fs';
import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';

/** What a run of a notebook came from: the same provenance gives the same bytes. */
export interface NotebookProvenance {
  readonly package: string;
  readonly version: string;
  readonly seed: number;
  readonly notebook: { readonly file: string; readonly sha256: string };
  /** Every file of the data folder, by POSIX path relative to it, in order; empty where none was given. */
  readonly data: readonly { readonly file: string; readonly sha256: string }[];
}

/**
 * Name and version of this package, from its own package.json.
 * @example packageIdentity().package // 'proving-range'
 */
export function packageIdentity(): { package: string; version: string } {
  const text = readFileSync(new URL('../../package.json', import.meta.url), 'utf8');
  const { name, version } = JSON.parse(text) as { name: string; version: string };
  return { package: name, version };
}

/** A folder with more files than this is hardly a dataset: a home folder named by mistake, say. */
const MOST_FILES = 20_000;

/**
 * The SHA-256 of every file under a folder, in order of path (POSIX, relative to it), or in words why that cannot be had. Hidden files
 * and installed packages are no data and are left out, and so are links.
 *
 * @example
 * await fillNewFolder('data', (put) => put('empty.csv', ''));
 * await hashFolder('data') // [{ file: 'empty.csv', sha256: 'e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855' }]
 */
export async function hashFolder(folder: string): Promise<{ file: string; sha256: string }[] | string> {
  try {
    const files = await filesUnder(folder);
    if (files.length > MOST_FILES) return `holds more than ${MOST_FILES} files`;
    const hashed: { file: string; sha256: string }[] = [];
    for (const file of files) hashed.push({ file, sha256: await hashFile(join(folder, file)) });
    return hashed;
  } catch (error) {
    return `cannot be read (${error instanceof Error ? error.message : error})`;
  }
}

/** Every file that {@link hashFolder} looks at, or a few more than it would take; throws where one cannot be listed. */
export async function filesUnder(folder: string): Promise<string[]> {
  const files: string[] = [];
  await addFilesUnder(folder, '', files);
  return files.sort((a, b) => (a < b ? -1 : 1));
}

async function addFilesUnder(root: string, under: string, files: string[]): Promise<void> {
  const entries = await readdir(join(root, under), { withFileTypes: true });
  for (const entry of entries) {
    if (files.length > MOST_FILES) return;
    if (entry.name.startsWith('.') || entry.name === 'node_modules') continue;
    const path = under === '' ? entry.name : `${under}/${entry.name}`;
    if (entry.isDirectory()) await addFilesUnder(root, path, files);
    else if (entry.isFile()) files.push(path);
  }
}

async function hashFile(path: string): Promise<string> {
  const hash = createHash('sha256');
  await pipeline(createReadStream(path), hash);
  return hash.digest('hex');
}
