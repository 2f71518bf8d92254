import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { filesUnder } from '../folder-replacement.ts';
import { ByteFinder } from './byte-finder.ts';
import { lookInside } from './look-inside.ts';
import type { Sought } from './sought.ts';

/** What a search through all files of a folder found. */
export interface Scan {
  readonly files: number;
  readonly bytes: number;
  /** Files that hold a word sought, or whose name does. */
  readonly found: readonly string[];
  /** Files that are packed or encoded in a way that cannot be looked into here. */
  readonly closed: readonly string[];
}

/** Looks through every file of a folder, its name and what is packed in it, for the words sought. */
export async function scanFolder(folder: string, sought: Sought): Promise<Scan> {
  const finder = new ByteFinder(sought);
  const paths = [...((await filesUnder(folder)) ?? new Map<string, string>()).keys()];
  const found: string[] = [];
  const closed: string[] = [];
  let bytes = 0;
  for (const path of paths) {
    const isNamed = finder.isIn(Buffer.from(path, 'utf8'));
    const content = path.endsWith('/') ? new Uint8Array(0) : await readFile(join(folder, path));
    bytes += content.length;
    const inside = await lookInside(content);
    if (inside.closed) closed.push(path);
    if (isNamed || inside.parts.some((part) => finder.isIn(part))) found.push(path);
  }
  return { files: paths.length, bytes, found, closed };
}
