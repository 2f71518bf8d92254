import { readdir, stat } from 'node:fs/promises';
import { readRegularFile, readTypedJson } from '../dataset/index.ts';
import type { Fault } from './result.ts';

/** What was read, or why it could not be. */
export type Read<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly faults: readonly Fault[] };

/** Reads a file named on the command line; a file that is not there is a fault in the request, in words. */
export async function readNamedFile(option: string, path: string): Promise<Read<Uint8Array>> {
  try {
    return { ok: true, value: await readRegularFile(path) };
  } catch (error) {
    return {
      ok: false,
      faults: [
        {
          where: option,
          found: `"${path}", which ${reason(error)}`,
          expected: 'a file that can be read',
          remedy: 'check the spelling and the folder you are in',
        },
      ],
    };
  }
}

/** Reads a JSON file named on the command line; text that is not JSON is a fault in the request. */
export async function readNamedJson(option: string, path: string): Promise<Read<unknown>> {
  const file = await readNamedFile(option, path);
  if (!file.ok) return file;
  const read = readTypedJson(file.value);
  if (read.ok) return read;
  return {
    ok: false,
    faults: [
      {
        where: `${option} ${path}`,
        found: read.found,
        expected: 'a JSON document',
        remedy: 'look at the place named, and just before it, for a missing comma, quote or bracket',
      },
    ],
  };
}

/** A fault when `path` is taken: output folders are always new, so that nothing is ever overwritten. */
export async function takenFolder(option: string, path: string): Promise<readonly Fault[]> {
  const taken = await occupied(path);
  if (taken === null) return [];
  return [
    {
      where: option,
      found: `"${path}", ${taken}`,
      expected: 'a folder that does not exist yet, or is empty',
      remedy: 'give another name, or move the old folder away first; nothing was written',
    },
  ];
}

/** The first of `base`, `base-2`, `base-3` ... that is not taken. */
export async function freeFolder(base: string): Promise<string> {
  for (let count = 1; ; count++) {
    const path = count === 1 ? base : `${base}-${count}`;
    if ((await occupied(path)) === null) return path;
  }
}

async function occupied(path: string): Promise<string | null> {
  try {
    const entry = await stat(path);
    if (!entry.isDirectory()) return 'which is a file';
    return (await readdir(path)).length === 0 ? null : 'which exists and is not empty';
  } catch (error) {
    return reason(error) === NOT_THERE ? null : `which ${reason(error)}`;
  }
}

const NOT_THERE = 'does not exist';

function reason(error: unknown): string {
  const code = error instanceof Error && 'code' in error ? error.code : '';
  if (code === 'ENOENT') return NOT_THERE;
  if (code === 'EISDIR') return 'is a folder';
  if (code === 'ENOTFILE') return 'is a pipe or a device, and no file';
  if (code === 'EACCES') return 'may not be read by you';
  return 'cannot be read';
}
