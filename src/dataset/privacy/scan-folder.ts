import { join } from 'node:path';
import { filesUnder } from '../folder-replacement.ts';
import { ByteFinder } from './byte-finder.ts';
import { withFileSource } from './byte-source.ts';
import { lookInside, SIZES, type Sizes } from './look-inside.ts';
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

/**
 * Looks through every file of a folder, its name and what is packed in it, for the words sought.
 *
 * @param sizes how much of packed files is unpacked at most, in bytes
 * @example
 * (await scanFolder('my-roster', { golfers: [], words: ['G01'], others: [] })).found.includes('golfers.csv') // true
 */
export async function scanFolder(folder: string, sought: Sought, sizes: Sizes = SIZES): Promise<Scan> {
  const finder = new ByteFinder(sought);
  const paths = [...((await filesUnder(folder)) ?? new Map<string, string>()).keys()];
  const found: string[] = [];
  const closed: string[] = [];
  let bytes = 0;
  for (const path of paths) {
    let isFound = finder.isIn(Buffer.from(path, 'utf8'));
    if (!path.endsWith('/'))
      await withFileSource(join(folder, path), async (source) => {
        bytes += source.size;
        const seen = await lookInside(source, finder, sizes);
        if (seen.closed) closed.push(path);
        isFound ||= seen.found;
      });
    if (isFound) found.push(path);
  }
  return { files: paths.length, bytes, found, closed };
}
