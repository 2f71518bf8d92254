import { randomBytes } from 'node:crypto';
import { link, readFile, rename, unlink, writeFile } from 'node:fs/promises';
import { hostname } from 'node:os';
import { codeOf } from './error-code.ts';

/** Another process writes to the folder now. Nothing was written by this one. */
export class FolderInUseError extends Error {
  override readonly name = 'FolderInUseError';
  readonly path: string;

  constructor(caller: string, folder: string, lock: string) {
    super(
      `${caller}: ${folder} is being written by another process, so nothing was done. Wait until it is over and run again; if you are sure that nothing runs, on this machine or another, take away ${lock}.`,
    );
    this.path = folder;
  }
}

export interface FolderLock {
  /** Whether the lock is still ours: somebody may have taken its file away by hand. */
  held(): Promise<boolean>;
  release(): Promise<void>;
}

/** Locks this process holds: a process that restarts under its old number must not take itself for the holder. */
const ours = new Set<string>();

/**
 * Takes the lock file, which is there only while a folder is being written. The lock of a process that has died is
 * taken over; one of a living process, or of another machine, is respected.
 *
 * @returns null where another process holds it
 */
export async function takeFolderLock(path: string): Promise<FolderLock | null> {
  if (ours.has(path)) return null;
  // At once, before anything is waited for: a second caller in this process would take us for the dead.
  ours.add(path);
  const forget = () => ours.delete(path);
  const lock = await claimFrom(path, forget).catch((error: unknown) => {
    forget();
    throw error;
  });
  if (lock === null) forget();
  return lock;
}

async function claimFrom(path: string, forget: () => void): Promise<FolderLock | null> {
  const mark = JSON.stringify({
    pid: process.pid,
    started: await startOf(process.pid),
    host: hostname(),
    key: randomBytes(8).toString('hex'),
  });
  for (let attempt = 0; attempt < 5; attempt += 1) {
    if (await claim(path, mark))
      return {
        held: async () => (await textOf(path)) === mark,
        release: async () => {
          if ((await textOf(path)) === mark) await unlink(path).catch(() => undefined);
          forget();
        },
      };
    const holder = await textOf(path);
    if (holder === null) continue;
    if (await lives(holder)) break;
    await putAside(path, holder);
  }
  return null;
}

/** The lock appears with its content in one step, so that no reader ever sees half of it. */
async function claim(path: string, mark: string): Promise<boolean> {
  const beside = `${path}-${randomBytes(6).toString('hex')}`;
  try {
    await writeFile(beside, mark, { flag: 'wx' });
    await link(beside, path);
    return true;
  } catch (error) {
    if (codeOf(error) !== 'EEXIST') throw error;
    return false;
  } finally {
    await unlink(beside).catch(() => undefined);
  }
}

/** Takes away a dead process's lock; one that somebody renewed in between goes back. */
async function putAside(path: string, dead: string): Promise<void> {
  const aside = `${path}-${randomBytes(6).toString('hex')}`;
  try {
    await rename(path, aside);
  } catch (error) {
    if (codeOf(error) !== 'ENOENT') throw error;
    return;
  }
  if ((await textOf(aside)) !== dead) await link(aside, path).catch(() => undefined);
  await unlink(aside).catch(() => undefined);
}

async function lives(holder: string): Promise<boolean> {
  const { pid, started, host } = markOf(holder);
  if (pid === null) return false;
  if (host !== hostname()) return true;
  if (pid === process.pid) return false;
  try {
    process.kill(pid, 0);
  } catch (error) {
    return codeOf(error) === 'EPERM';
  }
  // A number is given to another process after a while; the time of its start tells the two apart, where it is known.
  const start = await startOf(pid);
  return start === null || started === null || start === started;
}

function markOf(text: string): { pid: number | null; started: string | null; host: string | null } {
  try {
    const mark: unknown = JSON.parse(text);
    if (typeof mark !== 'object' || mark === null) return { pid: null, started: null, host: null };
    const { pid, started, host } = mark as Readonly<Record<string, unknown>>;
    return {
      pid: typeof pid === 'number' && Number.isInteger(pid) && pid > 0 ? pid : null,
      started: typeof started === 'string' ? started : null,
      host: typeof host === 'string' ? host : null,
    };
  } catch {
    return { pid: null, started: null, host: null };
  }
}

/** When a process started, as Linux counts it; null elsewhere. */
async function startOf(pid: number): Promise<string | null> {
  const stat = await textOf(`/proc/${pid}/stat`);
  // The name of the program, in brackets, may itself hold spaces and brackets.
  return stat === null ? null : (stat.slice(stat.lastIndexOf(')') + 2).split(' ')[19] ?? null);
}

async function textOf(path: string): Promise<string | null> {
  return readFile(path, 'utf8').catch(() => null);
}
