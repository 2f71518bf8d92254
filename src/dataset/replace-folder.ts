import { randomBytes } from 'node:crypto';
import { chmod, lstat, mkdir, open, readdir, readlink, realpath, rename, rm } from 'node:fs/promises';
import { basename, dirname, join, resolve } from 'node:path';
import { FolderInUseError, type FolderLock, takeFolderLock } from './folder-lock.ts';
import { filesUnder, type Replacement, replacement } from './folder-replacement.ts';
import { codeOf } from './new-files.ts';

/** The folder changed while its replacement was made. The folder was left as it is now. */
export class FolderChangedError extends Error {
  override readonly name = 'FolderChangedError';
  readonly path: string;

  constructor(folder: string, file: string) {
    super(
      `replaceFolder: ${file} in ${folder} was changed by somebody while the new folder was made, so nothing was written. Close it elsewhere and run again.`,
    );
    this.path = folder;
  }
}

/** Both an interrupted replacement and something newer stand where one of them should; neither was touched. */
export class FolderUnsettledError extends Error {
  override readonly name = 'FolderUnsettledError';
  readonly path: string;

  constructor(folder: string, previous: string) {
    super(
      `settleFolder: a replacement of ${folder} was interrupted, and since then something else was put in its place. The dataset as it was is ${previous}; move one of the two away and run again.`,
    );
    this.path = folder;
  }
}

/**
 * Replaces a folder by a new one, whole or not at all. At whatever moment the process is killed, the folder is, after
 * `settleFolder`, the old one or the new one, never something between.
 *
 * Beside the folder `data` there may stand, each only while it is being replaced:
 *
 * | name | what it is |
 * |---|---|
 * | `.data.lock` | who writes; see folder-lock.ts |
 * | `.data.making-*` | a new folder that is not whole yet |
 * | `.data.next` | the new folder, whole and flushed to disk |
 * | `.data.previous` | the old folder, once it has been moved away |
 *
 * The steps, each one atomic and flushed before the next: making -> next, data -> previous, next -> data, previous
 * removed. The rule by which `settleFolder` (and the next `replaceFolder`) ends what was interrupted:
 *
 * | data | previous | next | what is done | the folder is |
 * |---|---|---|---|---|
 * | there | - | there | next removed | the old one |
 * | gone | there | there | next -> data, previous removed | the new one |
 * | there | there | - | previous removed | the new one |
 * | gone | there | - | previous -> data | the old one |
 * | gone | - | there | next removed | none, as before |
 * | there | there | there | refused: somebody put something in its place | left |
 *
 * `fill` is called while the lock is held, so what it reads of the old folder is what it replaces; where a file there
 * changes meanwhile, nothing is written. A symbolic link to a folder stays, and the folder it leads to is replaced.
 *
 * @param fill makes the new folder (see {@link Replacement}); 'leave' leaves the old one untouched
 * @throws FolderInUseError while another process writes; FolderChangedError; FolderUnsettledError; whatever `fill` throws
 * @example
 * await writeNewFolder('data', { 'a.csv': 'x\n1\n', 'b.csv': 'y\n1\n' });
 * await replaceFolder('data', async (made) => {
 *   await made.put('a.csv', 'x\n2\n');
 *   await made.keepOthers();
 *   return 'replace';
 * }) // 'replaced'
 * readFileSync('data/a.csv', 'utf8') // 'x\n2\n'
 */
export async function replaceFolder(
  folder: string,
  fill: (made: Replacement) => Promise<'replace' | 'leave'>,
): Promise<'replaced' | 'left'> {
  const places = await placesOf(folder);
  await mkdir(dirname(places.target), { recursive: true });
  const lock = await takeFolderLock(places.lock);
  if (lock === null) throw new FolderInUseError('replaceFolder', folder, places.lock);
  try {
    await recover(places, folder);
    return await makeAndSwap(places, folder, fill, lock);
  } finally {
    await lock.release();
  }
}

/**
 * Ends a replacement that was interrupted, by the rule of {@link replaceFolder}. Whoever reads a folder calls it first; it
 * costs one look at the disk where nothing was interrupted, and changes nothing while another process is at work.
 *
 * @throws FolderInUseError when the folder is away and does not come back in a second
 * @throws FolderUnsettledError
 * @example
 * await settleFolder('my-roster') // undefined: nothing was left half done
 */
export async function settleFolder(folder: string): Promise<void> {
  const places = await placesOf(folder);
  for (let wait = 0; ; wait += 1) {
    const isSwapped = (await isThere(places.previous)) || (await isThere(places.next));
    if (!isSwapped && !(await isThere(places.lock))) return;
    const lock = isSwapped ? await takeFolderLock(places.lock) : await lockOfTheDead(places.lock);
    if (lock !== null) {
      try {
        await recover(places, folder);
        return;
      } finally {
        await lock.release();
      }
    }
    // The other process is at work; only in the moment of its swap is there nothing to read.
    if (!isSwapped || (await isThere(places.target))) return;
    if (wait === 100) throw new FolderInUseError('settleFolder', folder, places.lock);
    await new Promise((done) => setTimeout(done, 10));
  }
}

/** A lock that a process left when it was killed; null where another is at work, or where nothing may be written. */
async function lockOfTheDead(path: string): Promise<FolderLock | null> {
  try {
    return await takeFolderLock(path);
  } catch (error) {
    if (['EACCES', 'EROFS', 'EPERM'].includes(codeOf(error))) return null;
    throw error;
  }
}

interface Places {
  readonly target: string;
  readonly lock: string;
  readonly next: string;
  readonly previous: string;
  readonly making: string;
}

async function placesOf(folder: string): Promise<Places> {
  const target = await placeOf(folder);
  const beside = join(dirname(target), `.${basename(target)}`);
  return {
    target,
    lock: `${beside}.lock`,
    next: `${beside}.next`,
    previous: `${beside}.previous`,
    making: `${beside}.making-`,
  };
}

/** Where the folder itself is or would be, behind symbolic links, also while it is moved away. */
async function placeOf(folder: string): Promise<string> {
  const given = resolve(folder);
  try {
    return await realpath(given);
  } catch (error) {
    if (codeOf(error) !== 'ENOENT') throw error;
  }
  const link = await readlink(given).catch(() => null);
  if (link !== null) return placeOf(resolve(dirname(given), link));
  const above = await realpath(dirname(given)).catch(() => dirname(given));
  return join(above, basename(given));
}

async function makeAndSwap(
  places: Places,
  folder: string,
  fill: (made: Replacement) => Promise<'replace' | 'leave'>,
  lock: FolderLock,
): Promise<'replaced' | 'left'> {
  const { target, next, previous } = places;
  const before = await filesUnder(target);
  const mode = before === null ? null : (await lstat(target)).mode & 0o7777;
  const making = `${places.making}${randomBytes(6).toString('hex')}`;
  await mkdir(making);
  try {
    const made = replacement(making, before === null ? null : target);
    if ((await fill(made)) === 'leave') {
      await rm(making, { recursive: true, force: true });
      return 'left';
    }
    if (mode !== null) await chmod(making, mode);
    await flushTree(making);
    const changed = differing(before, await filesUnder(target));
    if (changed !== null) throw new FolderChangedError(folder, changed);
    if (!(await lock.held())) throw new FolderInUseError('replaceFolder', folder, places.lock);
    await rename(making, next);
  } catch (error) {
    await rm(making, { recursive: true, force: true });
    throw error;
  }
  await flush(dirname(target));
  try {
    if (before !== null) await rename(target, previous);
    await flush(dirname(target));
    await rename(next, target);
  } catch (error) {
    await recover(places, folder);
    throw error;
  }
  await flush(dirname(target));
  await rm(previous, { recursive: true, force: true });
  return 'replaced';
}

/** Only under the lock: whatever stands beside the folder was then left by a process that is gone. */
async function recover({ target, next, previous, making }: Places, folder: string): Promise<void> {
  const [isTarget, isNext, isPrevious] = [
    await isThere(target),
    await isThere(next),
    await isThere(previous),
  ];
  if (isTarget && isNext && isPrevious) throw new FolderUnsettledError(folder, previous);
  if (isPrevious && !isTarget) {
    await rename(isNext ? next : previous, target);
    await flush(dirname(target));
  }
  await rm(next, { recursive: true, force: true });
  if (isPrevious) await rm(previous, { recursive: true, force: true });
  const start = basename(making);
  for (const name of await readdir(dirname(target)))
    if (name.startsWith(start)) await rm(join(dirname(target), name), { recursive: true, force: true });
}

async function isThere(path: string): Promise<boolean> {
  try {
    await lstat(path);
    return true;
  } catch (error) {
    if (codeOf(error) === 'ENOENT' || codeOf(error) === 'ENOTDIR') return false;
    throw error;
  }
}

/** The first file that is not what it was, or null. */
function differing(
  before: ReadonlyMap<string, string> | null,
  after: ReadonlyMap<string, string> | null,
): string | null {
  const [was, is] = [before ?? new Map<string, string>(), after ?? new Map<string, string>()];
  for (const [path, mark] of was) if (is.get(path) !== mark) return path;
  for (const path of is.keys()) if (!was.has(path)) return path;
  return (before === null) === (after === null) ? null : 'the folder';
}

async function flushTree(folder: string): Promise<void> {
  for (const entry of await readdir(folder, { withFileTypes: true })) {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) await flushTree(path);
    else if (entry.isFile()) await flush(path);
  }
  await flush(folder);
}

/** Flushes a file or a folder to disk, where the system lets that be done to what is open for reading. */
async function flush(path: string): Promise<void> {
  try {
    const handle = await open(path, 'r');
    try {
      await handle.sync();
    } finally {
      await handle.close();
    }
  } catch (error) {
    if (!['EPERM', 'EISDIR', 'EINVAL', 'EACCES', 'ENOTSUP'].includes(codeOf(error))) throw error;
  }
}
