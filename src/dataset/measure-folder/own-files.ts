import { randomBytes } from 'node:crypto';
import { mkdir, open, rename, rm } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { sha256Hex } from '../hash.ts';
import { codeOf, type FileContent, writeNewFile } from '../new-files.ts';
import { NoRegularFileError, readRegularFile } from '../read-regular-file.ts';
import type { FolderProblem } from './folder-problem.ts';

type Written = ReadonlyMap<string, ReadonlySet<string>>;

/** Files in `folder` that stand where ours would go and that we did not write, or that were changed since. */
export async function foreignFiles(
  folder: string,
  paths: Iterable<string>,
  written: Written,
): Promise<FolderProblem[]> {
  const problems: FolderProblem[] = [];
  for (const path of paths) {
    const hash = await hashOf(join(folder, path));
    if (hash === null || written.get(path)?.has(hash)) continue;
    problems.push({
      where: join(folder, path),
      found: 'a file that was changed since it was written here, or was never written by this command',
      expected: 'the file as this command left it, or none',
      remedy: 'give --out another folder, or move the file away first; it was left as it is',
    });
  }
  return problems;
}

/**
 * Puts files into `folder`, each whole or not at all. One with the same bytes is left; one that differs is replaced,
 * so ask `foreignFiles` first.
 *
 * @returns the paths that were written
 */
export async function putFiles(
  folder: string,
  files: ReadonlyMap<string, FileContent>,
): Promise<readonly string[]> {
  const put: string[] = [];
  for (const [path, content] of files) {
    const place = join(folder, path);
    const stands = await hashOf(place);
    if (stands === sha256Hex(content)) continue;
    if (stands === null) await writeNewFile(place, content);
    else await replaceFile(place, content);
    put.push(path);
  }
  return put;
}

async function replaceFile(place: string, content: FileContent): Promise<void> {
  const partial = join(dirname(place), `.${basename(place)}.${randomBytes(6).toString('hex')}.partial`);
  await mkdir(dirname(place), { recursive: true });
  try {
    const handle = await open(partial, 'wx');
    try {
      await handle.writeFile(content);
      await handle.sync();
    } finally {
      await handle.close();
    }
    await rename(partial, place);
  } catch (error) {
    await rm(partial, { force: true });
    throw error;
  }
}

async function hashOf(path: string): Promise<string | null> {
  try {
    return sha256Hex(await readRegularFile(path));
  } catch (error) {
    if (codeOf(error) === 'ENOENT') return null;
    // Whatever stands there instead of a file has no bytes that were ours.
    if (error instanceof NoRegularFileError) return 'no file';
    throw error;
  }
}
