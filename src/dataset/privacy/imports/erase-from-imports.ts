import { readFile } from 'node:fs/promises';
import { join, posix } from 'node:path';
import { canonicalJson } from '../../canonical-json.ts';
import { sha256Hex } from '../../hash.ts';
import { erasedFingerprint } from '../../import/erased-rows.ts';
import { LOG_FILE } from '../../import/import-log.ts';
import type { Mapping } from '../../import/mapping.ts';
import { ByteFinder } from '../byte-finder.ts';
import { sourceOfBytes, withFileSource } from '../byte-source.ts';
import { lookInside, type Sizes } from '../look-inside.ts';
import { ERASED, type Sought, TextFinder } from '../sought.ts';
import { recordLists } from '../text-records.ts';
import type { KnownMapping } from './known-imports.ts';
import type { LostImport } from './redact-log.ts';
import { type LostLines, type RowOwner, redactSheet } from './redact-sheet.ts';

/** What becomes of the sheets that were imported, their mappings and the log. */
export interface ErasedImports {
  /** New files by path. */
  readonly files: ReadonlyMap<string, Uint8Array>;
  /** Files of the old folder that are taken away, or stand in `files` under a new path or with new bytes. */
  readonly gone: ReadonlySet<string>;
  /** Sheets of which nothing is left. */
  readonly removed: readonly string[];
  /** How many rows were taken out, by the sheet's path. */
  readonly rows: Readonly<Record<string, number>>;
  readonly log: ReadonlyMap<number, LostImport>;
}

/**
 * Takes a golfer out of imported sheets and their mappings. A sheet is one by its mapping: that says which column names the
 * golfer, in which spellings. What is left of a kept original is kept under its new hash, with its mapping, so that it can be
 * imported anew and stands for what the log says.
 */
export async function eraseFromImports(
  folder: string,
  paths: readonly string[],
  mappings: readonly KnownMapping[],
  owner: RowOwner,
  sought: Sought,
  sizes: Sizes,
): Promise<ErasedImports> {
  const [texts, finder] = [new TextFinder(sought), new ByteFinder(sought)];
  const logged = await loggedImports(folder, paths, owner, sizes);
  const files = new Map<string, Uint8Array>();
  const gone = new Set<string>();
  const removed: string[] = [];
  const rows: Record<string, number> = {};
  const log = new Map<number, LostImport>();
  const bySheet = new Map<string, ReadSheet[]>();
  for (const one of mappings)
    if (isRead(one)) bySheet.set(one.sheet, [...(bySheet.get(one.sheet) ?? []), one]);
  for (const [sheet, uses] of bySheet) {
    const bytes = await readFile(join(folder, sheet));
    const numbers = uses.map(({ path }) => logged.filter((one) => one.mappingPath === path));
    const isMentioned = (await lookInside(sourceOfBytes(bytes), finder, sizes)).found;
    const redacted = redactSheet(
      bytes,
      uses.map(({ mapping }, index) => ({
        mapping,
        loggedLines: new Set(numbers[index]!.flatMap(({ ownLines }) => [...ownLines])),
      })),
      owner,
      texts,
      isMentioned,
    );
    if (redacted === null) continue;
    const names = uses.some(({ golfers }) => golfers.some(({ id }) => owner.golfers.has(id)));
    const isTold = uses.some(({ mapping }) => texts.isIn(JSON.stringify(mapping)));
    if (!redacted.changed && !names && !isTold) continue;
    gone.add(sheet);
    const cut = new Set(redacted.lost.flatMap(({ lines }) => [...lines])).size;
    if (cut > 0) rows[sheet] = cut;
    const oldHash = sha256Hex(bytes);
    const newHash = redacted.bytes === null ? null : sha256Hex(redacted.bytes);
    if (redacted.bytes === null) removed.push(sheet);
    else files.set(movedSheet(sheet, newHash!), redacted.bytes);
    uses.forEach((use, index) => {
      gone.add(use.path);
      const lost = redacted.lost[index]!;
      const mapping =
        newHash === null ? null : redactedMapping(use.mapping, owner, lost, texts, [oldHash, newHash]);
      const text = mapping === null ? null : canonicalJson(mapping, { indent: 2, sortKeys: false });
      const mappingHash = text === null ? null : sha256Hex(text);
      if (text !== null)
        files.set(movedMapping(use.path, newHash!, mappingHash!), Buffer.from(`${text}\n`, 'utf8'));
      for (const { number } of numbers[index]!)
        log.set(number, {
          ...lost,
          now: newHash === null ? null : { source: newHash, mapping: mappingHash! },
          fingerprint: newHash === null ? erasedFingerprint(oldHash) : null,
        });
    });
  }
  return { files, gone, removed, rows, log };
}

type ReadSheet = KnownMapping & { readonly mapping: Mapping; readonly sheet: string };

function isRead(one: KnownMapping): one is ReadSheet {
  return one.mapping !== null && one.sheet !== null;
}

interface LoggedImport {
  readonly number: number;
  readonly mappingPath: string;
  /** Lines that became rows of the golfer. */
  readonly ownLines: Set<number>;
}

async function loggedImports(
  folder: string,
  paths: readonly string[],
  owner: RowOwner,
  { pieceBytes }: Sizes,
): Promise<readonly LoggedImport[]> {
  if (!paths.includes(LOG_FILE)) return [];
  const byNumber = new Map<unknown, LoggedImport>();
  const own = [owner.golfers, owner.sessions, owner.swings];
  await withFileSource(join(folder, LOG_FILE), async (source) => {
    for await (const { records } of recordLists(source, pieceBytes, true))
      for (const record of records) {
        const entry = parsed(record);
        if (entry?.what === 'file')
          byNumber.set(entry.import, {
            number: Number(entry.import),
            mappingPath: `originals/${entry.source_sha256}-mapping-${String(entry.mapping_sha256).slice(0, 16)}.json`,
            ownLines: new Set(),
          });
        const keys = entry?.what === 'row' ? [entry.key, entry.joined, entry.already_there] : [];
        if (keys.some((key) => typeof key === 'string' && own.some((ids) => ids.has(key))))
          byNumber.get(entry!.import)?.ownLines.add(Number(entry!.line));
      }
  });
  return [...byNumber.values()];
}

function parsed(line: string): Readonly<Record<string, unknown>> | null {
  try {
    const value: unknown = JSON.parse(line);
    return typeof value === 'object' && value !== null ? (value as Record<string, unknown>) : null;
  } catch {
    return null;
  }
}

function redactedMapping(
  mapping: Mapping,
  owner: RowOwner,
  { lines }: LostLines,
  texts: TextFinder,
  [oldHash, newHash]: readonly [string, string],
): Mapping {
  const { source, reading, golfers } = mapping;
  return withoutMentions(
    {
      ...mapping,
      source: { ...source, sha256: source.sha256 === oldHash ? newHash : source.sha256 },
      reading: { ...reading, leave_out: reading.leave_out.filter(({ line }) => !lines.has(line)) },
      golfers: golfers.filter(({ golfer_id }) => !owner.golfers.has(golfer_id)),
    },
    texts,
  );
}

function withoutMentions<T>(value: T, texts: TextFinder): T {
  if (typeof value === 'string') return texts.replaced(value, ERASED).text as T;
  if (Array.isArray(value)) return value.map((one: unknown) => withoutMentions(one, texts)) as T;
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value).map(([name, one]) => [name, withoutMentions(one, texts)]),
  ) as T;
}

/** A kept original is named by its hash; a sheet that lies elsewhere keeps its name, as its mapping does. */
function movedSheet(path: string, hash: string): string {
  return path.replace(/^originals\/[0-9a-f]{64}\./, () => `originals/${hash}.`);
}

function movedMapping(path: string, sourceHash: string, mappingHash: string): string {
  return posix.dirname(path) === 'originals'
    ? `originals/${sourceHash}-mapping-${mappingHash.slice(0, 16)}.json`
    : path;
}
