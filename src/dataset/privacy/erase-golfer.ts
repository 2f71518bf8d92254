import { lstat, readFile, stat } from 'node:fs/promises';
import { dirname, join, posix, resolve } from 'node:path';
import { csvLine } from '../csv-write.ts';
import { FolderInUseError } from '../folder-lock.ts';
import { filesUnder, type Replacement } from '../folder-replacement.ts';
import { sha256Hex } from '../hash.ts';
import { replaceFolder } from '../replace-folder.ts';
import { type Belongings, belongingsOf } from './belongings.ts';
import { cutRecords } from './cut-records.ts';
import { FileEraser } from './erase-from-file.ts';
import { mendDescriptor } from './mend-descriptor.ts';
import type { PrivacyOutcome, PrivacyProblem } from './privacy-problem.ts';
import { type Scan, scanFolder } from './scan-folder.ts';

/** What was taken out of a folder. Nothing of this is kept in it but {@link ERASURES_FILE}. */
export interface Erasure {
  /** Rows, by path of the table; lines and entries of other files among them. */
  readonly rows: Readonly<Record<string, number>>;
  /** How often the golfer was mentioned in rows and files of others, and `erased` stands there now. */
  readonly mentions: number;
  /** The golfer's capture files. */
  readonly captures: readonly string[];
  /** Files taken away whole, since they cannot be cut: reports, spreadsheets, pages, whatever the golfer's id names. */
  readonly removed: readonly string[];
  /** The proof: what was looked through afterwards, and what is packed in a way that could not be. */
  readonly scan: Scan;
}

/** Says that golfers were erased, one line for each, and nothing about whom. */
export const ERASURES_FILE = 'erasures.csv';
const ERASURES_HEADER = ['erasure', 'files_looked_through', 'places_found_afterwards'];

/**
 * Erases a golfer from a dataset's folder: the rows of every table (CSV and Parquet) that hang on the golfer by a key,
 * capture files, curves, lines of logs, reports and every other file in which the id stands; with the key also what stands
 * under the pseudonym. Then every file is looked through, with what is packed in it, for the id and the pseudonym, in
 * UTF-8 and UTF-16; the id counts as a whole word, so that G1 is not found in G10. Only when nothing is found does the new
 * folder take the place of the old one, in one step: a process killed at any moment leaves the old or the new one.
 *
 * Not reached: copies elsewhere (backups, exports, version control), and what a disk keeps of a file that was removed.
 *
 * @param golfer the golfer's id, or the pseudonym
 * @param options.key the key of the pseudonyms: then `golfer` is the id, and its pseudonyms go too
 * @throws FolderInUseError while another process writes; FolderChangedError
 * @example await eraseGolfer('my-roster', 'G07')
 */
export async function eraseGolfer(
  folder: string,
  golfer: string,
  options: { readonly key?: Uint8Array } = {},
): Promise<PrivacyOutcome<Erasure>> {
  // In the moment in which another process swaps it the folder is away, and the lock is waited for; its parent is never.
  const above = await stat(dirname(resolve(folder))).catch(() => null);
  const missing = refusal([{ where: '--data', ...NO_FOLDER, found: `no folder ${folder}` }]);
  if (above === null) return missing;
  let outcome: PrivacyOutcome<Erasure> | undefined;
  await replaceFolder(folder, async (made) => {
    outcome = made.old === null ? missing : await fillWithout(made, golfer.trim(), options.key ?? null);
    return outcome.ok ? 'replace' : 'leave';
  }).catch(async (error: NodeJS.ErrnoException) => {
    // Another process swapped the folder between two steps of ours; nothing of ours was put in its place.
    if (error.code !== 'ENOENT' || (await stat(folder).catch(() => null)) === null) throw error;
    throw new FolderInUseError('eraseGolfer', folder, 'the lock beside it');
  });
  return outcome!;
}

const NO_FOLDER = { expected: 'the folder of a dataset', remedy: 'check the spelling' };
const refusal = (problems: readonly PrivacyProblem[]): PrivacyOutcome<Erasure> => ({ ok: false, problems });

async function fillWithout(
  made: Replacement,
  golfer: string,
  key: Uint8Array | null,
): Promise<PrivacyOutcome<Erasure>> {
  const old = made.old!;
  const paths = [...((await filesUnder(old)) ?? new Map<string, string>()).keys()];
  const inTheWay = await unreachable(old, paths);
  if (inTheWay.length > 0) return refusal(inTheWay);
  const own = await belongingsOf(old, paths, golfer, key);
  if (!own.isKnown) return refusal([unknownGolfer(golfer, key !== null)]);
  const unfit = unfitFor(own, golfer);
  if (unfit.length > 0) return refusal(unfit);

  const eraser = new FileEraser(own);
  const pages = new Set(paths.filter((path) => /\.html?$/i.test(path)).map((path) => posix.dirname(path)));
  pages.delete('.');
  const rows: Record<string, number> = {};
  const [captures, removed]: [string[], string[]] = [[], []];
  const changed = new Map<string, Uint8Array>();
  const hashes = new Map<string, string>();
  let mentions = 0;
  for (const path of paths) {
    const bytes = path.endsWith('/') ? new Uint8Array(0) : await readFile(join(old, path));
    const treated = await eraser.treat(path, bytes, pages);
    if (treated.kind === 'drop') (treated.why === 'capture' ? captures : removed).push(path);
    else if (treated.kind === 'put') {
      changed.set(eraser.pathOf(path), treated.bytes);
      hashes.set(sha256Hex(bytes), sha256Hex(treated.bytes));
      if (treated.rows > 0) rows[path] = treated.rows;
      mentions += treated.mentions;
    } else if (eraser.pathOf(path) !== path) changed.set(eraser.pathOf(path), bytes);
  }
  const gone = new Set([...captures, ...removed]);
  await putChanged(made, changed, hashes, gone, rows);
  const renamed = paths.filter((path) => eraser.pathOf(path) !== path);
  await made.keepOthers(new Set([...gone, ...renamed, ERASURES_FILE]));

  const before = await readFile(join(old, ERASURES_FILE), 'utf8').catch(() => csvLine(ERASURES_HEADER));
  let count = 0;
  cutRecords(before, () => {
    count += 1;
    return false;
  });
  const scan = await scanFolder(made.partial, own.sought);
  await made.put(
    ERASURES_FILE,
    before + csvLine([String(count), String(scan.files), String(scan.found.length)]),
  );
  if (scan.found.length > 0) return refusal(scan.found.map(stillThere));
  return { ok: true, value: { rows, mentions, captures, removed, scan } };
}

/** Files whose hash is written in a table or in the descriptor: both follow. */
async function putChanged(
  made: Replacement,
  changed: ReadonlyMap<string, Uint8Array>,
  hashes: ReadonlyMap<string, string>,
  gone: ReadonlySet<string>,
  rows: Readonly<Record<string, number>>,
): Promise<void> {
  const inTable = (bytes: Uint8Array): Uint8Array => {
    let text = Buffer.from(bytes).toString('latin1');
    for (const [was, is] of hashes) text = text.replaceAll(was, is);
    return Buffer.from(text, 'latin1');
  };
  for (const [path, bytes] of changed)
    if (path !== 'datapackage.json') await made.put(path, path === 'captures.csv' ? inTable(bytes) : bytes);
  const descriptor =
    changed.get('datapackage.json') ??
    (await readFile(join(made.old!, 'datapackage.json')).catch(() => null));
  if (descriptor !== null)
    await made.put('datapackage.json', mendDescriptor(descriptor, changed, gone, rows));
}

/** Where an erasure would not reach what the folder leads to. */
async function unreachable(root: string, paths: readonly string[]): Promise<PrivacyProblem[]> {
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

function unfitFor(own: Belongings, golfer: string): PrivacyProblem[] {
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

function unknownGolfer(golfer: string, withKey: boolean): PrivacyProblem {
  return {
    where: 'the golfer',
    found: `no golfer "${golfer}"${withKey ? ', nor the pseudonym,' : ''} in any table`,
    expected: 'the id of a golfer, letter for letter as in golfers.csv',
    remedy: `check the spelling${withKey ? ' and the key' : '; where ids are pseudonyms, give --key'}; a golfer who is left only in files that are no tables is found once golfers.csv has the row again`,
  };
}

function stillThere(path: string): PrivacyProblem {
  return {
    where: path,
    found: 'the golfer, in a place from which it could not be taken',
    expected: 'no trace',
    remedy: 'take the file out of the folder, or mend it by hand, and run again; nothing was changed',
  };
}
