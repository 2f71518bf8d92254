import {
  copyFile,
  link,
  lstat,
  mkdir,
  readdir,
  readlink,
  stat,
  symlink,
  utimes,
  writeFile,
} from 'node:fs/promises';
import { dirname, join, resolve, sep } from 'node:path';
import { codeOf, type FilePieces } from './new-files.ts';

/** The new folder while it is made, beside the one it replaces. Paths are POSIX, relative to the folder. */
export interface Replacement {
  /** The folder as it stands, to read from; null where there is none. Never write into it. */
  readonly old: string | null;
  /** The new folder, for what writes its own files. */
  readonly partial: string;
  put(path: string, content: FilePieces): Promise<void>;
  /** Takes a file over as it is (the same bytes on disk where the disk can share them, else a copy). */
  keep(path: string): Promise<void>;
  /**
   * Takes over every file and link of the old folder whose place is still free in the new one, except those given.
   *
   * @returns their paths
   */
  keepOthers(except?: ReadonlySet<string>): Promise<readonly string[]>;
}

/** @throws Error when a path leads out of the folder */
export function replacement(partial: string, old: string | null): Replacement {
  const place = async (path: string): Promise<string> => {
    const full = resolve(partial, path);
    if (!full.startsWith(partial + sep))
      throw new Error(`replaceFolder: '${path}' leads out of the folder. Use a path inside it.`);
    await mkdir(dirname(full), { recursive: true });
    return full;
  };
  const keep = async (path: string): Promise<void> => {
    if (old === null) throw new Error(`replaceFolder: there is no old folder to keep '${path}' from.`);
    await takeOver(join(old, path), await place(path));
  };
  return {
    old,
    partial,
    put: async (path, content) => writeFile(await place(path), content, { flag: 'wx' }),
    keep,
    keepOthers: async (except) => {
      const kept: string[] = [];
      const made = (await filesUnder(partial)) ?? new Map<string, string>();
      for (const path of (old === null ? null : await filesUnder(old))?.keys() ?? []) {
        if (made.has(path) || except?.has(path)) continue;
        if (path.endsWith('/')) await mkdir(join(partial, path), { recursive: true });
        else await keep(path);
        kept.push(path);
      }
      return kept;
    },
  };
}

async function takeOver(from: string, to: string): Promise<void> {
  const entry = await lstat(from);
  if (entry.isSymbolicLink()) {
    await symlink(await readlink(from), to);
    return;
  }
  if (!entry.isFile())
    throw new Error(
      `replaceFolder: ${from} is neither a file, a folder nor a link, so it cannot be kept. Move it away.`,
    );
  try {
    await link(from, to);
  } catch (error) {
    if (!['EPERM', 'ENOTSUP', 'EXDEV', 'EMLINK', 'ENOSYS', 'EACCES'].includes(codeOf(error))) throw error;
    await copyFile(from, to);
    await utimes(to, entry.atime, entry.mtime);
  }
}

/**
 * Everything under a folder that is no folder itself, and the folders that are empty (their paths end with /), in order,
 * each with a mark that changes when it does; null where there is no folder.
 */
export async function filesUnder(folder: string): Promise<ReadonlyMap<string, string> | null> {
  const found = new Map<string, string>();
  try {
    if (!(await stat(folder)).isDirectory())
      throw Object.assign(new Error(`replaceFolder: ${folder} is a file, where a folder should be.`), {
        code: 'ENOTDIR',
        path: folder,
      });
  } catch (error) {
    if (codeOf(error) === 'ENOENT') return null;
    throw error;
  }
  const walk = async (below: string): Promise<void> => {
    const names = (await readdir(join(folder, below))).sort();
    if (names.length === 0 && below !== '') found.set(`${below}/`, 'folder');
    for (const name of names) {
      const path = below === '' ? name : `${below}/${name}`;
      const entry = await lstat(join(folder, path), { bigint: true });
      if (entry.isDirectory()) await walk(path);
      else found.set(path, `${entry.ino} ${entry.size} ${entry.mtimeNs}`);
    }
  };
  await walk('');
  return found;
}
