import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { copyFile, mkdir, readFile, rename, rm, stat } from 'node:fs/promises';
import { dirname, join, posix, relative, resolve } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { csvLine } from '../csv-write.ts';
import { FolderInUseError } from '../folder-lock.ts';
import { filesUnder, type Replacement } from '../folder-replacement.ts';
import { LOG_FILE } from '../import/import-log.ts';
import { replaceFolder } from '../replace-folder.ts';
import { type Belongings, belongingsOf } from './belongings.ts';
import { ByteFinder } from './byte-finder.ts';
import { withFileSource } from './byte-source.ts';
import { FileEraser, type Treatment } from './erase-from-file.ts';
import {
  noRecords,
  sheetsTooLarge,
  stillThere,
  unfitFor,
  unknownGolfer,
  unreachable,
} from './erasure-problems.ts';
import { type ErasedImports, eraseFromImports } from './imports/erase-from-imports.ts';
import { knownMappings, spellingsIn } from './imports/known-imports.ts';
import { LogEraser } from './imports/redact-log.ts';
import { lookInside, SIZES, type Sizes } from './look-inside.ts';
import { type FileNow, mendDescriptor } from './mend-descriptor.ts';
import type { PrivacyOutcome, PrivacyProblem } from './privacy-problem.ts';
import { recordsOf } from './records.ts';
import { type Scan, scanFolder } from './scan-folder.ts';
import { pastShareOf, SHARES_FILE } from './share/past-shares.ts';
import { TextFinder } from './sought.ts';
import { RecordTooLongError, recordLists, rewriteRecords } from './text-records.ts';

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
  /** How many spellings of the golfer's name, known from mappings of imports, were looked for too. */
  readonly names: number;
  /** Spellings that were not, since another golfer has them too or they are no words of their own. */
  readonly namesNotSought: readonly string[];
  /** The proof: what was looked through afterwards, and what is packed in a way that could not be. */
  readonly scan: Scan;
}

/** An erasure, or why there is none; `wrongWord` where no such golfer or folder is there. */
export type ErasureOutcome = PrivacyOutcome<Erasure> & { readonly wrongWord?: true };

export interface EraseOptions {
  /** The key of the pseudonyms: then `golfer` is the id, and its pseudonyms go too. */
  readonly key?: Uint8Array;
  /** How much is held in memory at a time. */
  readonly sizes?: Sizes;
}

const BEING_WRITTEN = '.being-written';

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
 * @example
 * (await eraseGolfer('my-roster', 'G07')).ok // true
 * readFileSync('my-roster/swings.csv', 'utf8').includes('G07') // false
 */
export async function eraseGolfer(
  folder: string,
  golfer: string,
  options: EraseOptions = {},
): Promise<ErasureOutcome> {
  // In the moment in which another process swaps it the folder is away, and the lock is waited for; its parent is never.
  const above = await stat(dirname(resolve(folder))).catch(() => null);
  const missing: ErasureOutcome = {
    ...refusal([{ where: '--data', ...NO_FOLDER, found: `no folder ${folder}` }]),
    wrongWord: true,
  };
  if (above === null) return missing;
  let outcome: ErasureOutcome | undefined;
  await replaceFolder(folder, async (made) => {
    outcome =
      made.old === null
        ? missing
        : await fillWithout(made, golfer.trim(), options).catch((error: unknown) => {
            if (error instanceof RecordTooLongError)
              return refusal([noRecords(relative(made.old!, error.file))]);
            throw error;
          });
    return outcome.ok ? 'replace' : 'leave';
  }).catch(async (error: NodeJS.ErrnoException) => {
    // Another process swapped the folder between two steps of ours; nothing of ours was put in its place.
    if (error.code !== 'ENOENT' || (await stat(folder).catch(() => null)) === null) throw error;
    throw new FolderInUseError('eraseGolfer', folder, 'the lock beside it');
  });
  return outcome!;
}

const NO_FOLDER = { expected: 'the folder of a dataset', remedy: 'check the spelling' };
const refusal = (problems: readonly PrivacyProblem[]): ErasureOutcome => ({ ok: false, problems });

async function fillWithout(
  made: Replacement,
  golfer: string,
  { key, sizes = SIZES }: EraseOptions,
): Promise<ErasureOutcome> {
  const old = made.old!;
  const paths = [...((await filesUnder(old)) ?? new Map<string, string>()).keys()];
  const inTheWay = await unreachable(old, paths);
  if (inTheWay.length > 0) return refusal(inTheWay);
  const mappings = await knownMappings(old, paths);
  const tooLarge = await sheetsTooLarge(old, mappings);
  if (tooLarge.length > 0) return refusal(tooLarge);
  const names = spellingsIn(mappings);
  const own = await belongingsOf(old, paths, golfer, key ?? null, names, sizes.pieceBytes);
  if (!own.isKnown) return { ...refusal([unknownGolfer(golfer, key !== undefined, names)]), wrongWord: true };
  const unfit = unfitFor(own, golfer);
  if (unfit.length > 0) return refusal(unfit);

  const before = await readFile(join(old, ERASURES_FILE), 'utf8').catch(() => csvLine(ERASURES_HEADER));
  const count = [...recordsOf(before)].length;
  const eraser = new FileEraser(own, sizes);
  const imports = await eraseFromImports(old, paths, mappings, own, own.sought, sizes);
  const pages = new Set(paths.filter((path) => /\.html?$/i.test(path)).map((path) => posix.dirname(path)));
  pages.delete('.');
  const rows: Record<string, number> = { ...imports.rows };
  const [captures, removed]: [string[], string[]] = [[], [...imports.removed]];
  const changed = new Map<string, FileNow>();
  const hashes = new Map<string, string>();
  let mentions = 0;
  const written = join(made.partial, BEING_WRITTEN);
  for (const path of paths) {
    if (imports.gone.has(path) || path === ERASURES_FILE) continue;
    const from = join(old, path);
    const treated =
      path === LOG_FILE
        ? await eraseFromLog(eraser, from, written, imports.log, own, sizes)
        : path === SHARES_FILE
          ? await eraser.byLine(from, written, (line) => withoutGolfer(line, own, count))
          : await eraser.treat(path, from, written, pages);
    const place = eraser.pathOf(path);
    if (treated.kind === 'drop') (treated.why === 'capture' ? captures : removed).push(path);
    else if (treated.kind === 'put') {
      const now = await fileNow(written);
      await mkdir(dirname(join(made.partial, place)), { recursive: true });
      await rename(written, join(made.partial, place));
      changed.set(place, now);
      hashes.set((await fileNow(from)).hash, now.hash);
      if (treated.rows > 0) rows[path] = treated.rows;
      mentions += treated.mentions;
    } else if (place !== path) {
      await mkdir(dirname(join(made.partial, place)), { recursive: true });
      await copyFile(from, join(made.partial, place));
    }
    // What was begun of a file that goes or stays whole is no part of the new folder.
    await rm(written, { force: true });
  }
  for (const [path, content] of imports.files) await made.put(path, content);
  const beside = await sealedBeside(old, paths, removed, pages, own, sizes);
  removed.push(...beside);
  removed.sort();
  const gone = new Set([...captures, ...removed]);
  await mendHashes(made, changed, hashes, gone, rows, sizes);
  const renamed = paths.filter((path) => eraser.pathOf(path) !== path);
  await made.keepOthers(new Set([...gone, ...imports.gone, ...renamed, ERASURES_FILE]));

  const scan = await scanFolder(made.partial, own.sought, sizes);
  await made.put(
    ERASURES_FILE,
    before + csvLine([String(count), String(scan.files), String(scan.found.length)]),
  );
  if (scan.found.length > 0) return refusal(scan.found.map(stillThere));
  const { namesNotSought } = own;
  const spelt = new Set([...own.golfers].flatMap((id) => [...(names.get(id) ?? [])])).size;
  return {
    ok: true,
    value: { rows, mentions, captures, removed, names: spelt - namesNotSought.length, namesNotSought, scan },
  };
}

/** An import's log: lines on the golfer's rows go, and what counts them says how many were erased. */
async function eraseFromLog(
  eraser: FileEraser,
  from: string,
  to: string,
  lost: ErasedImports['log'],
  own: Belongings,
  { pieceBytes }: Sizes,
): Promise<Treatment> {
  const log = new LogEraser(lost, own.swings, new TextFinder(own.sought));
  await withFileSource(from, async (source) => {
    for await (const { records } of recordLists(source, pieceBytes, true))
      for (const record of records) log.count(record);
  });
  return eraser.byLine(from, to, (line) => log.erased(line));
}

/**
 * A line of the memory of exports: that somebody of a group was in one stays, so that the next export can be kept apart from
 * it; who it was does not.
 */
function withoutGolfer(line: string, { golfers }: Belongings, erasure: number): string | null {
  const entry = pastShareOf(line);
  if (entry === null || !golfers.has(entry.golfer)) return line;
  return `${JSON.stringify({ ...entry, golfer: `(erased ${erasure})` })}\n`;
}

/** Pictures and prints beside a page that goes: they show what it shows, and cannot be looked into. */
async function sealedBeside(
  old: string,
  paths: readonly string[],
  removed: readonly string[],
  pages: ReadonlySet<string>,
  own: Belongings,
  sizes: Sizes,
): Promise<string[]> {
  const gone = new Set(removed);
  const ofGolfer = new Set(removed.map((path) => posix.dirname(path)).filter((place) => pages.has(place)));
  const finder = new ByteFinder(own.sought);
  const sealed: string[] = [];
  for (const path of paths) {
    if (path.endsWith('/') || gone.has(path) || !ofGolfer.has(posix.dirname(path))) continue;
    if (own.tables.has(path) || own.othersCaptures.has(path)) continue;
    const seen = await withFileSource(join(old, path), (source) => lookInside(source, finder, sizes));
    if (seen.closed) sealed.push(path);
  }
  return sealed;
}

async function fileNow(file: string): Promise<FileNow> {
  const hash = createHash('sha256');
  await pipeline(createReadStream(file), hash);
  return { bytes: (await stat(file)).size, hash: hash.digest('hex') };
}

/** Files whose hash is written in a table or in the descriptor: both follow. */
async function mendHashes(
  made: Replacement,
  changed: Map<string, FileNow>,
  hashes: ReadonlyMap<string, string>,
  gone: ReadonlySet<string>,
  rows: Readonly<Record<string, number>>,
  { pieceBytes }: Sizes,
): Promise<void> {
  const table = join(made.partial, 'captures.csv');
  if (changed.has('captures.csv')) {
    const before = `${table}.before`;
    await rename(table, before);
    const follow = (record: string): string =>
      record.replace(/[0-9a-f]{64}/gi, (hash) => hashes.get(hash.toLowerCase()) ?? hash);
    await rewriteRecords(before, table, pieceBytes, follow);
    await rm(before);
    changed.set('captures.csv', await fileNow(table));
  }
  const descriptor = await readFile(
    join(changed.has('datapackage.json') ? made.partial : made.old!, 'datapackage.json'),
  ).catch(() => null);
  if (descriptor === null) return;
  await rm(join(made.partial, 'datapackage.json'), { force: true });
  await made.put('datapackage.json', mendDescriptor(descriptor, changed, gone, rows));
}
