import { basename, posix, resolve } from 'node:path';
import type { CaptureTask, FolderProblem } from './folder-problem.ts';

const LONGEST_ID = 100;
const USABLE_PATH = /^[^/\\:][^\\:]*$/;
const LONGEST_PATH = 500;

/**
 * What the captures of a folder without a manifest are taken to be: each a full swing named by its path, in the
 * order of the names, in a session named by the folder it lies in.
 *
 * @param files paths in order of name
 */
export function nameCaptures(root: string, files: readonly string[], layout: string): CaptureTask[] {
  const stems = new Map<string, number>();
  for (const file of files) stems.set(stemOf(file), (stems.get(stemOf(file)) ?? 0) + 1);
  const inSession = new Map<string, number>();
  return files.map((file) => {
    const swing_id = stems.get(stemOf(file)) === 1 ? stemOf(file) : file;
    const folder = posix.dirname(file);
    const session_id = folder === '.' ? basename(resolve(root)) : folder;
    const order = (inSession.get(session_id) ?? 0) + 1;
    inSession.set(session_id, order);
    const problem = pathProblem(file) ?? idProblem(swing_id, session_id);
    const cells = new Map([
      ['swing_id', swing_id],
      ['session_id', session_id],
      ['order_in_session', String(order)],
      ['task', 'full'],
    ]);
    return { file, cells: problem === null ? cells : null, layout, problem };
  });
}

/** Why a path cannot stand in captures.csv, or null. */
export function pathProblem(file: string): FolderProblem | null {
  const parts = file.split('/');
  if (USABLE_PATH.test(file) && file.length <= LONGEST_PATH && !parts.includes('..') && !parts.includes('.'))
    return null;
  return {
    where: 'the name of the file',
    found: `"${file.length > 80 ? `${file.slice(0, 77)}...` : file}"`,
    expected: `a path inside the folder of at most ${LONGEST_PATH} characters, without \\ and :`,
    remedy: 'give the file another name',
  };
}

function idProblem(swing: string, session: string): FolderProblem | null {
  const usable = (id: string): boolean => id.length <= LONGEST_ID && id.trim() === id && id !== '';
  if (usable(swing) && usable(session)) return null;
  return {
    where: 'the name of the file',
    found: `"${swing.slice(0, 60)}..." as the id of the swing, in the session "${session.slice(0, 60)}"`,
    expected: `names of at most ${LONGEST_ID} characters without a space at either end`,
    remedy: 'shorten the names of file and folder, or give the ids in manifest.csv',
  };
}

function stemOf(file: string): string {
  return file.slice(0, file.length - posix.extname(file).length);
}
