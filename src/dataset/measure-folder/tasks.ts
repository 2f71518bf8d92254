import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { codeOf } from '../new-files.ts';
import { readRegularFile } from '../read-regular-file.ts';
import { findCaptures, MANIFEST } from './find-captures.ts';
import type { CaptureTask, FolderProblem } from './folder-problem.ts';
import { readManifest } from './manifest.ts';
import { nameCaptures } from './name-captures.ts';

export type FoundTasks =
  | {
      readonly ok: true;
      readonly tasks: readonly CaptureTask[];
      /** Columns of swings that come before the measured ones. */
      readonly columns: readonly string[];
      readonly manifest: boolean;
    }
  | { readonly ok: false; readonly problems: readonly FolderProblem[] };

/**
 * The captures of a folder and the swing that each one is: as its manifest says, or by its name where there is no
 * manifest. A capture that the manifest does not list comes with a problem, so that it is not passed over.
 *
 * @param layout path of the layout where the manifest names no other
 * @param out a folder that is not looked into
 */
export async function findTasks(root: string, layout: string, out: string): Promise<FoundTasks> {
  const refused = (found: string, expected: string, remedy: string): FoundTasks => ({
    ok: false,
    problems: [{ where: `the folder ${root}`, found, expected, remedy }],
  });
  try {
    await readdir(root);
  } catch (error) {
    const found =
      codeOf(error) === 'ENOENT'
        ? 'no such folder'
        : codeOf(error) === 'ENOTDIR'
          ? 'a file'
          : 'a folder that cannot be opened';
    return refused(found, 'a folder of captures', 'check the spelling and the folder you are in');
  }
  const files = await findCaptures(root, out);
  const bytes = await readRegularFile(join(root, MANIFEST)).catch((error: unknown) => {
    return codeOf(error) === 'ENOENT' ? null : 'unreadable';
  });
  if (bytes === 'unreadable')
    return refused(
      `a ${MANIFEST} that cannot be read`,
      'a CSV file',
      'close it elsewhere, or put a file in its place',
    );
  if (bytes === null) {
    if (files.length === 0)
      return refused('no capture', 'files ending in .c3d or .csv', 'give the folder they are in');
    const columns = ['swing_id', 'session_id', 'order_in_session', 'task'];
    return { ok: true, tasks: nameCaptures(root, files, layout), columns, manifest: false };
  }
  const read = readManifest(root, bytes, layout);
  if (!read.ok) return read;
  const listed = new Set(read.tasks.map(({ file }) => file));
  const unlisted = files.filter((file) => !listed.has(file)).map((file) => unlistedTask(file, layout));
  return { ok: true, tasks: [...read.tasks, ...unlisted], columns: read.columns, manifest: true };
}

function unlistedTask(file: string, layout: string): CaptureTask {
  const problem = {
    where: MANIFEST,
    found: 'no row for this file',
    expected: 'a row that says which swing it is',
    remedy: `add a row to ${MANIFEST} and run the command again`,
  };
  return { file, cells: null, layout, problem };
}
