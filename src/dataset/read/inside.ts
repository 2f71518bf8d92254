import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { realpath, stat } from 'node:fs/promises';
import { resolve, sep } from 'node:path';
import { codeOf } from '../new-files.ts';
import type { Problem } from '../problem.ts';

/** Where a file of the folder really is, that there is none of this name, or why it must not be read. */
export type Inside =
  | { readonly path: string }
  | { readonly absent: true }
  | { readonly fault: Pick<Problem, 'kind' | 'found' | 'expected' | 'remedy'> };

/**
 * Finds a file by its path relative to a folder; a link that leads out of the folder is a fault.
 *
 * @param root the folder, links resolved
 */
export async function fileInside(root: string, path: string): Promise<Inside> {
  try {
    const real = await realpath(resolve(root, path));
    if (real.startsWith(root + sep)) {
      // A pipe or a device would be waited for without end.
      const entry = await stat(real);
      return entry.isFile() ? { path: real } : { fault: cannotBeRead(path) };
    }
  } catch (error) {
    return codeOf(error) === 'ENOENT' ? { absent: true } : { fault: cannotBeRead(path) };
  }
  return {
    fault: {
      kind: 'unreadable-file',
      found: `${path}, which leads out of the folder`,
      expected: 'a file inside the folder',
      remedy: 'Put a copy of the file itself into the folder.',
    },
  };
}

export function cannotBeRead(path: string): Pick<Problem, 'kind' | 'found' | 'expected' | 'remedy'> {
  return {
    kind: 'unreadable-file',
    found: `${path} cannot be read`,
    expected: 'a file that can be read',
    remedy: 'Close it elsewhere, or ask for the right to read it.',
  };
}

/** More than can be held in one piece of memory. */
export function tooLargeToRead(path: string): Pick<Problem, 'kind' | 'found' | 'expected' | 'remedy'> {
  return {
    kind: 'unreadable-file',
    found: `${path} is too large to be read at once`,
    expected: 'a CSV file below 512 MB',
    remedy: "Pack the folder with 'pack': a packed table may have any size.",
  };
}

/** A fault of a file as a whole. */
export function faultOf(
  table: string,
  fault: Pick<Problem, 'kind' | 'found' | 'expected' | 'remedy'>,
): Problem {
  return { severity: 'error', table, row: null, column: null, ...fault };
}

/** A file that datapackage.json names and that is not there. */
export function namedAndAbsent(
  path: string,
  table: string,
): Pick<Problem, 'kind' | 'found' | 'expected' | 'remedy'> {
  return {
    kind: 'missing-file',
    found: `no ${path}`,
    expected: `${path}, which datapackage.json names`,
    remedy: `Add the file, or take ${table} out of datapackage.json.`,
  };
}

/** SHA-256 of a file of any size, as 64 lower-case hexadecimal characters, and its length in bytes. */
export async function hashOfFile(path: string): Promise<{ readonly sha256: string; readonly bytes: number }> {
  const hash = createHash('sha256');
  let bytes = 0;
  for await (const piece of createReadStream(path, { highWaterMark: 2 ** 20 })) {
    hash.update(piece as Buffer);
    bytes += (piece as Buffer).length;
  }
  return { sha256: hash.digest('hex'), bytes };
}
