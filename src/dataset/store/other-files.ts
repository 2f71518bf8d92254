import { constants, copyFile, lstat, mkdir, readdir } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import type { Problem } from '../problem.ts';
import { faultOf } from '../read/inside.ts';

/** The files of a folder beside its tables, by path relative to it; what is no plain file is a problem. */
export async function otherFiles(
  root: string,
  tables: ReadonlySet<string>,
): Promise<{ readonly files: readonly string[]; readonly problems: readonly Problem[] }> {
  const files: string[] = [];
  const problems: Problem[] = [];
  const walk = async (below: string): Promise<void> => {
    for (const name of (await readdir(join(root, below))).sort()) {
      const path = below === '' ? name : `${below}/${name}`;
      const entry = await lstat(join(root, path));
      if (entry.isDirectory()) await walk(path);
      else if (entry.isFile()) {
        if (!tables.has(path)) files.push(path);
      } else
        problems.push(
          faultOf('the folder', {
            kind: 'unreadable-file',
            found: entry.isSymbolicLink() ? `${path}, which is a link` : `${path}, which is no plain file`,
            expected: 'files and folders only',
            remedy: 'Put the file itself in its place, or move it out of the folder.',
          }),
        );
    }
  };
  await walk('');
  return { files, problems };
}

/** Copies files unchanged from one folder into another. */
export async function carryFiles(from: string, to: string, files: readonly string[]): Promise<void> {
  for (const path of files) {
    await mkdir(dirname(join(to, path)), { recursive: true });
    await copyFile(join(from, path), join(to, path), constants.COPYFILE_EXCL | constants.COPYFILE_FICLONE);
  }
}

/** A file that a packed table needs the place of. */
export function placeTaken(path: string): Problem {
  return faultOf('the folder', {
    kind: 'unreadable-file',
    found: `${path}, in the place that a table needs`,
    expected: 'no file of this name beside the tables',
    remedy: 'Rename it, or move it out of the folder.',
  });
}
