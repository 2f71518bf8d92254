import { createHash } from 'node:crypto';
import { lstatSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { rename } from 'node:fs/promises';
import { basename, dirname, join, relative, resolve, sep } from 'node:path';
import { type FileContent, writeNewFolder } from '../../src/dataset/index.ts';
import type { Site } from './site-files.ts';

/** Lists every file of a built site with its SHA-256: by it a folder is known as one that may be built anew. */
const LIST = 'site.json';

const sha256 = (content: FileContent): string => createHash('sha256').update(content).digest('hex');

export interface WrittenSite {
  readonly files: number;
  readonly bytes: number;
}

/** The folder is not a site as it was built, so it was left as it is. */
export class ForeignFolderError extends Error {
  override readonly name = 'ForeignFolderError';
}

/**
 * Writes the site into a folder, whole or not at all. A folder that holds nothing but a site as it was built before gives way;
 * any other is left as it is, and so is one in which a file was added, changed or taken away.
 *
 * @throws ForeignFolderError with the first reasons why the folder is not a built site
 */
export async function writeSite(folder: string, { pages, copies }: Site): Promise<WrittenSite> {
  const files: Record<string, FileContent> = Object.fromEntries([...pages, ...copies]);
  const hashes = Object.fromEntries(Object.entries(files).map(([path, content]) => [path, sha256(content)]));
  const all = { ...files, [LIST]: `${JSON.stringify({ site: 'Proving Range', files: hashes }, null, 1)}\n` };
  const target = resolve(folder);
  const foreign = whyForeign(target);
  if (foreign === null) await writeNewFolder(target, all);
  else if (foreign.length > 0)
    throw new ForeignFolderError(
      `writeSite: ${folder} is no site as it was built (${foreign.slice(0, 3).join('; ')}), so it was left as it is. Move it away, or give another folder with --out.`,
    );
  else await inPlaceOf(target, all);
  return {
    files: Object.keys(all).length,
    bytes: Object.values(all).reduce((sum, content) => sum + Buffer.byteLength(content), 0),
  };
}

/** The new folder is made beside the old one, which gives way only then, and comes back where that fails. */
async function inPlaceOf(target: string, all: Readonly<Record<string, FileContent>>): Promise<void> {
  const beside = (word: string) => join(dirname(target), `.${basename(target)}.${word}`);
  const [next, previous] = [beside('next'), beside('previous')];
  await writeNewFolder(next, all);
  await rename(target, previous);
  try {
    await rename(next, target);
  } catch (error) {
    await rename(previous, target);
    throw error;
  }
  rmSync(previous, { recursive: true });
}

/** Null where there is nothing, an empty list for a site as it was built, else what is not of it. */
export function whyForeign(folder: string): string[] | null {
  const found = filesUnder(folder);
  if (found === null || (found.length === 0 && lstatSync(folder).isDirectory())) return null;
  if (!found.includes(LIST)) return [`it has no ${LIST}`];
  let listed: Readonly<Record<string, string>>;
  try {
    listed = (JSON.parse(readFileSync(join(folder, LIST), 'utf8')) as { files: Record<string, string> })
      .files;
    if (typeof listed !== 'object' || listed === null) return [`${LIST} lists no files`];
  } catch {
    return [`${LIST} cannot be read`];
  }
  const others = found.filter((path) => path !== LIST && !Object.hasOwn(listed, path));
  const changed = Object.entries(listed).filter(
    ([path, hash]) => !found.includes(path) || sha256(readFileSync(join(folder, path))) !== hash,
  );
  return [
    ...others.map((path) => `${path} is not of it`),
    ...changed.map(([path]) => `${path} was changed or taken away`),
  ];
}

function filesUnder(folder: string): string[] | null {
  const there = lstatSync(folder, { throwIfNoEntry: false });
  if (there === undefined) return null;
  if (!there.isDirectory()) return ['.'];
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => !entry.isDirectory())
    .map((entry) => relative(folder, join(entry.parentPath, entry.name)).split(sep).join('/'))
    .sort();
}
