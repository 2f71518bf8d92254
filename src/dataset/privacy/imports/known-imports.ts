import { readFile, stat } from 'node:fs/promises';
import { join, posix } from 'node:path';
import { filesUnder } from '../../folder-replacement.ts';
import { checkMapping, type Mapping } from '../../import/mapping.ts';
import { nameVariants } from '../name-variants.ts';
import { notAWordOfItsOwn } from '../sought.ts';
import { textOf } from '../text-of.ts';

/** A mapping that lies in a dataset's folder, whole or damaged: whatever can be read of it counts. */
export interface KnownMapping {
  readonly path: string;
  /** null where it is no whole mapping, so that its sheet cannot be read by it. */
  readonly mapping: Mapping | null;
  readonly golfers: readonly { readonly id: string; readonly written: readonly string[] }[];
  /** The sheet that it was for, where that lies in the folder. */
  readonly sheet: string | null;
}

const KEPT = /^originals\/([0-9a-f]{64})-mapping-[0-9a-f]{16}\.json$/;
const MOST_BYTES = 64 * 1024 * 1024;

/** Every mapping in a folder, be it kept by an import or left there by hand. */
export async function knownMappings(
  folder: string,
  paths: readonly string[],
): Promise<readonly KnownMapping[]> {
  const there = new Set(paths);
  const found: KnownMapping[] = [];
  for (const path of paths) {
    if (posix.extname(path).toLowerCase() !== '.json') continue;
    if ((await stat(join(folder, path))).size > MOST_BYTES) continue;
    const value = parsed(textOf(await readFile(join(folder, path))).text);
    if (!isObject(value) || !Array.isArray(value.golfers) || !Array.isArray(value.columns)) continue;
    const golfers = value.golfers.flatMap((one: unknown) => {
      if (!isObject(one) || typeof one.golfer_id !== 'string' || !Array.isArray(one.written)) return [];
      return [{ id: one.golfer_id, written: one.written.filter((name) => typeof name === 'string') }];
    });
    const hash = KEPT.exec(path)?.[1];
    const named = isObject(value.source) ? String(value.source.file) : '';
    const places =
      hash === undefined
        ? [posix.join(posix.dirname(path), named)]
        : [`originals/${hash}.csv`, `originals/${hash}.xlsx`];
    const checked = checkMapping(value);
    found.push({
      path,
      mapping: checked.ok ? checked.mapping : null,
      golfers,
      sheet: places.find((place) => there.has(place)) ?? null,
    });
  }
  return found;
}

/** How each golfer's name is written in the sheets that were imported, by the golfer's id; ids themselves not among them. */
export function spellingsIn(mappings: readonly KnownMapping[]): ReadonlyMap<string, ReadonlySet<string>> {
  const spellings = new Map<string, Set<string>>();
  for (const { golfers } of mappings)
    for (const { id, written } of golfers)
      for (const name of written)
        if (name.trim() !== '' && name.trim() !== id)
          spellings.set(id, (spellings.get(id) ?? new Set()).add(name.trim()));
  return spellings;
}

/**
 * Every name that the mappings in a folder know, in all the ways it may be written; empty where nothing was imported.
 * @example await namesKnownIn('my-roster') // []: the demo was not imported
 */
export async function namesKnownIn(folder: string): Promise<readonly string[]> {
  const paths = [...((await filesUnder(folder)) ?? new Map<string, string>()).keys()];
  const spellings = spellingsIn(await knownMappings(folder, paths));
  return [...spellings.values()]
    .flatMap((own) => [...own].flatMap(nameVariants))
    .filter((name) => notAWordOfItsOwn(name) === null);
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text.replace(/^\uFEFF/, ''));
  } catch {
    return null;
  }
}

function isObject(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
