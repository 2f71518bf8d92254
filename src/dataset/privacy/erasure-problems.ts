import { lstat, stat } from 'node:fs/promises';
import { join } from 'node:path';
import type { Belongings } from './belongings.ts';
import type { KnownMapping } from './imports/known-imports.ts';
import type { PrivacyProblem } from './privacy-problem.ts';

/** Where an erasure would not reach what the folder leads to. */
export async function unreachable(root: string, paths: readonly string[]): Promise<PrivacyProblem[]> {
  const problems: PrivacyProblem[] = [];
  if (paths.some((path) => path.split('/').some((part) => ['.git', '.hg', '.svn'].includes(part))))
    problems.push({
      where: 'the folder',
      found: 'version control, whose history keeps everything that ever stood here',
      expected: 'a folder without a history',
      remedy: 'take the history out of the folder first, and see that the golfer is erased from it too',
    });
  for (const path of paths) {
    if (path.endsWith('/')) continue;
    const entry = await lstat(join(root, path));
    if (entry.isFile()) continue;
    problems.push({
      where: path,
      found: entry.isSymbolicLink() ? 'a link to a file or folder elsewhere' : 'something that is no file',
      expected: 'files and folders only: what a link leads to would not be erased',
      remedy: 'put the file itself into the folder, or take the link away',
    });
  }
  return problems;
}

/** Why a golfer cannot be erased from these data. */
export function unfitFor(own: Belongings, golfer: string): PrivacyProblem[] {
  const problems: PrivacyProblem[] = [];
  if (own.notAWord !== null)
    problems.push({
      where: 'the golfer',
      found: `"${golfer}", ${own.notAWord}`,
      expected: 'an id that can be told from other words, so that it can be shown to be gone',
      remedy:
        "run 'pseudonymise' first, erase the golfer in the new folder by the same id and --key, and remove the old folder",
    });
  for (const file of own.captures)
    if (own.othersCaptures.has(file))
      problems.push({
        where: `captures, file ${file}`,
        found: 'a capture that is listed for another golfer too',
        expected: 'a file of one golfer',
        remedy: 'find out whose it is, and correct captures.csv',
      });
  return problems;
}

/** @param names how golfers are written in the sheets that were imported */
export function unknownGolfer(
  golfer: string,
  withKey: boolean,
  names: ReadonlyMap<string, ReadonlySet<string>>,
): PrivacyProblem {
  const named = [...names].find(([, spellings]) => spellings.has(golfer))?.[0];
  return {
    where: 'the golfer',
    found: `no golfer "${golfer}"${withKey ? ', nor the pseudonym,' : ''} in any table`,
    expected: 'the id of a golfer, letter for letter as in golfers.csv',
    remedy:
      named !== undefined
        ? `a mapping gives this name to ${named}: erase ${named}, and every spelling of the name goes too`
        : `check the spelling${withKey ? ' and the key' : '; where ids are pseudonyms, give --key'}; a golfer who is left only in files that are no tables is found once golfers.csv has the row again`,
  };
}

export function stillThere(path: string): PrivacyProblem {
  return {
    where: path,
    found: 'the golfer, in a place from which it could not be taken',
    expected: 'no trace',
    remedy: 'take the file out of the folder, or mend it by hand, and run again; nothing was changed',
  };
}

/** An imported sheet is held in the memory to be written anew, and nothing larger is ever imported. */
const MOST_OF_SHEET = 2 ** 31 - 1;

/** Sheets whose mapping says which rows are the golfer's, too large to be written anew without these. */
export async function sheetsTooLarge(
  folder: string,
  mappings: readonly KnownMapping[],
): Promise<PrivacyProblem[]> {
  const problems: PrivacyProblem[] = [];
  for (const sheet of new Set(mappings.flatMap((one) => one.sheet ?? []))) {
    const { size } = await stat(join(folder, sheet));
    if (size > MOST_OF_SHEET)
      problems.push({
        where: sheet,
        found: `a sheet of ${(size / 2 ** 30).toFixed(1)} GiB, of which rows are to be taken out by its mapping`,
        expected: 'a sheet below 2 GiB',
        remedy:
          'take it out of the folder, with its mapping, and erase the golfer from it by hand; nothing was changed',
      });
  }
  return problems;
}

/** A table that cannot be cut into rows, so that nobody's can be taken out. */
export function noRecords(path: string): PrivacyProblem {
  return {
    where: path,
    found: 'a row of more than 64 million characters',
    expected: 'a table with a line end behind each row, and quotes that come in pairs',
    remedy: "mend the file ('check' says where a quote is left open), and run again; nothing was changed",
  };
}
