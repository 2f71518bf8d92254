import { readdir, realpath, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { CURVE_INSTANTS_FILE, CURVES_FILE } from '../curves/curve-set.ts';
import { TABLE_NAMES } from '../generated/rows.ts';

/** The file that says which swing each capture is. */
export const MANIFEST = 'manifest.csv';

const CAPTURE_ENDING = /\.(c3d|csv)$/i;
const NO_CAPTURES: ReadonlySet<string> = new Set([
  MANIFEST,
  CURVES_FILE,
  CURVE_INSTANTS_FILE,
  ...TABLE_NAMES.map((name) => `${name}.csv`),
]);

/** Digits count as numbers (swing-2 before swing-10), and no two names are equal. */
const collator = new Intl.Collator('en', { numeric: true });
export function byName(a: string, b: string): number {
  return collator.compare(a, b) || (a < b ? -1 : a > b ? 1 : 0);
}

/**
 * Paths of the captures under a folder, in order of name: files ending in .c3d or .csv, but for the manifest and the
 * tables of a dataset at its top. What is hidden, and folders behind links, are passed over.
 *
 * @param leaveOut a folder that is not looked into
 */
export async function findCaptures(root: string, leaveOut: string): Promise<readonly string[]> {
  const aside = await realpath(leaveOut).catch(() => null);
  const found: string[] = [];
  const look = async (folder: string): Promise<void> => {
    const place = join(root, folder);
    if (aside !== null && (await realpath(place)) === aside) return;
    for (const entry of await readdir(place, { withFileTypes: true })) {
      const path = folder === '' ? entry.name : `${folder}/${entry.name}`;
      if (entry.name.startsWith('.')) continue;
      if (entry.isDirectory()) await look(path);
      else if (CAPTURE_ENDING.test(entry.name) && !NO_CAPTURES.has(path) && (await isFile(join(root, path))))
        found.push(path);
    }
  };
  await look('');
  return found.sort(byName);
}

async function isFile(path: string): Promise<boolean> {
  try {
    return (await stat(path)).isFile();
  } catch {
    // A link that leads nowhere is a capture that cannot be read; it is reported as one.
    return true;
  }
}
