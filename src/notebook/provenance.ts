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

/** Name and version of this package, from its own package.json. */
export function packageIdentity(): { package: string; version: string } {
  const text = readFileSync(new URL('../../package.json', import.meta.url), 'utf8');
  const { name, version } = JSON.parse(text) as { name: string; version: string };
  return { package: name, version };
}

/**
 * The SHA-256 of every file under a folder, in order of path. Hidden files and installed packages are no data
 * and are left out, and so are links.
 */
export async function hashFolder(folder: string): Promise<{ file: string; sha256: string }[]> {
  const files = await filesUnder(folder, '');
  files.sort((a, b) => (a < b ? -1 : 1));
  const hashed: { file: string; sha256: string }[] = [];
  for (const file of files) hashed.push({ file, sha256: await hashFile(join(folder, file)) });
  return hashed;
}

async function filesUnder(root: string, under: string): Promise<string[]> {
  const entries = await readdir(join(root, under), { withFileTypes: true });
  const found: string[] = [];
  for (const entry of entries) {
    if (entry.name.startsWith('.') || entry.name === 'node_modules') continue;
    const path = under === '' ? entry.name : `${under}/${entry.name}`;
    if (entry.isDirectory()) found.push(...(await filesUnder(root, path)));
    else if (entry.isFile()) found.push(path);
  }
  return found;
}

async function hashFile(path: string): Promise<string> {
  const hash = createHash('sha256');
  await pipeline(createReadStream(path), hash);
  return hash.digest('hex');
}
