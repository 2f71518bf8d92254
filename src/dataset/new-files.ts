import { randomBytes } from 'node:crypto';
import { link, mkdir, open, readdir, rename, rm, rmdir, unlink, writeFile } from 'node:fs/promises';
import { basename, dirname, join, resolve, sep } from 'node:path';
import { codeOf } from './error-code.ts';
import { takeFolderLock } from './folder-lock.ts';

/** The content of a file: text (written as UTF-8) or bytes. */
export { codeOf } from './error-code.ts';

/** The content of a file: text (written as UTF-8) or bytes. */
export type FileContent = string | Uint8Array;

/** The same for what may be too large for one piece of memory. */
export type FilePieces = FileContent | Iterable<string>;

/** Something stands already where a new file or folder should go. Nothing was written. */
export class AlreadyThereError extends Error {
  override readonly name = 'AlreadyThereError';
  readonly path: string;

  constructor(caller: string, path: string, what: 'file' | 'folder') {
    super(
      what === 'file'
        ? `${caller}: ${path} exists already and was left as it is. Give another name, or move it away first.`
        : `${caller}: the folder ${path} exists already and is not empty; it was left as it is. Give another folder, or move it away first.`,
    );
    this.path = path;
  }
}

/**
 * Writes a new file, whole or not at all, and never over another one: it is written beside its place,
 * flushed to disk, and linked into place in one step. Folders above it are made.
 *
 * @throws AlreadyThereError when something stands there, whichever of two writers came first.
 * @example
 * await writeNewFile('out/finding.json', '{}');
 * readFileSync('out/finding.json', 'utf8') // '{}'
 */
export async function writeNewFile(path: string, content: FileContent): Promise<void> {
  const target = resolve(path);
  await mkdir(dirname(target), { recursive: true });
  const partial = join(dirname(target), `.${basename(target)}.${randomBytes(6).toString('hex')}.partial`);
  try {
    await writeFlushed(partial, content);
    await link(partial, target);
  } catch (error) {
    if (codeOf(error) === 'EEXIST') throw new AlreadyThereError('writeNewFile', path, 'file');
    throw error;
  } finally {
    await unlink(partial).catch(() => undefined);
  }
}

/**
 * Writes a new folder of files, whole or not at all: a folder beside it is filled and renamed into place
 * in one step. An empty folder may stand there already; anything else is left as it is.
 *
 * @param files content by POSIX path relative to the folder
 * @throws AlreadyThereError when the folder holds something, or a file stands there
 * @throws Error when a path leads out of the folder
 * @example
 * await writeNewFolder('out', { 'a.csv': 'x\n1\n', 'sub/b.txt': 'hello' });
 * readFileSync('out/sub/b.txt', 'utf8') // 'hello'
 */
export async function writeNewFolder(
  folder: string,
  files: Readonly<Record<string, FileContent>>,
): Promise<void> {
  await fillNewFolder(folder, async (put) => {
    for (const [path, content] of Object.entries(files)) await put(path, content);
  });
}

/**
 * The same for a folder that is too large to be held in memory: `fill` puts files into a folder beside it, by path relative to it,
 * or writes into `partial` itself; when it has come to its end the folder is renamed into place, and when it throws, or gives 'leave', all is removed.
 *
 * @throws AlreadyThereError when the folder holds something, or a file stands there; whatever `fill` throws
 * @example
 * await fillNewFolder('out', async (put) => { await put('a.csv', 'x\n1\n'); });
 * readFileSync('out/a.csv', 'utf8') // 'x\n1\n'
 */
export async function fillNewFolder(
  folder: string,
  fill: (put: (path: string, content: FilePieces) => Promise<void>, partial: string) => Promise<unknown>,
): Promise<void> {
  const target = resolve(folder);
  await refuseUnlessEmpty(target, folder);
  const above = await mkdir(dirname(target), { recursive: true });
  await removeAbandoned(target);
  const partial = join(dirname(target), `.${basename(target)}.partial-${randomBytes(6).toString('hex')}`);
  // Says who fills it, so that what a process left that was killed is told from what another is at; where no lock can be, neither is told.
  const lock = await takeFolderLock(`${partial}.lock`).catch(() => null);
  // mkdir, not mkdtemp: the folder must end with the rights that any new folder of the user's has.
  await mkdir(partial);
  let isMade = false;
  try {
    const filled = await fill(async (path, content) => {
      const place = resolve(partial, path);
      if (!place.startsWith(partial + sep))
        throw new Error(`writeNewFolder: '${path}' leads out of the folder. Use a path inside it.`);
      await mkdir(dirname(place), { recursive: true });
      await writeFlushed(place, content);
    }, partial);
    if (filled === 'leave') return;
    await moveIntoPlace(partial, target, folder);
    isMade = true;
  } finally {
    if (!isMade) await rm(partial, { recursive: true, force: true });
    await lock?.release();
    if (!isMade && above !== undefined) await removeEmpty(dirname(target), above);
  }
}

/** Removes folders that were made for nothing, from the lowest to the highest, as long as they are empty. */
async function removeEmpty(lowest: string, highest: string): Promise<void> {
  for (let at = lowest; at.length >= highest.length; at = dirname(at))
    try {
      await rmdir(at);
    } catch {
      return;
    }
}

/** Removes what processes that are gone had begun to make in this place. */
async function removeAbandoned(target: string): Promise<void> {
  const start = `.${basename(target)}.partial-`;
  for (const name of await readdir(dirname(target))) {
    if (!name.startsWith(start) || !/^[0-9a-f]{12}\.lock$/.test(name.slice(start.length))) continue;
    const path = join(dirname(target), name);
    const lock = await takeFolderLock(path).catch(() => null);
    if (lock === null) continue;
    await rm(path.replace(/\.lock$/, ''), { recursive: true, force: true });
    await lock.release();
  }
}

async function moveIntoPlace(partial: string, target: string, folder: string): Promise<void> {
  // Removing an empty folder fails, and harms nothing, when somebody has put a file there meanwhile.
  await rmdir(target).catch(() => undefined);
  try {
    await rename(partial, target);
  } catch (error) {
    if (['ENOTEMPTY', 'EEXIST', 'ENOTDIR', 'EPERM'].includes(codeOf(error)))
      throw new AlreadyThereError('writeNewFolder', folder, 'folder');
    throw error;
  }
}

async function refuseUnlessEmpty(target: string, folder: string): Promise<void> {
  try {
    if ((await readdir(target)).length === 0) return;
  } catch (error) {
    if (codeOf(error) === 'ENOENT') return;
    if (codeOf(error) !== 'ENOTDIR') throw error;
  }
  throw new AlreadyThereError('writeNewFolder', folder, 'folder');
}

async function writeFlushed(path: string, content: FilePieces): Promise<void> {
  const handle = await open(path, 'wx');
  try {
    await writeFile(handle, content);
    await handle.sync();
  } finally {
    await handle.close();
  }
}
