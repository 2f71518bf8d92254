import { cp, mkdir, readFile, writeFile } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import {
  type Checked,
  type Dataset,
  loadDataset,
  namesKnownIn,
  scanFolder,
  shareDataset,
} from '../../dataset/index.ts';
import { hashFolder } from '../../notebook/index.ts';
import { datasetRefused, folderBusy } from '../dataset-words.ts';
import { planGiven } from '../plan-given.ts';
import { type CommandResult, type Fault, refused } from '../result.ts';
import { namedIn, type Sharing, sharingOf, tooFew } from './consent.ts';

/** The data as they may be handed on, in a folder of their own. */
export interface SharedFolder {
  readonly folder: string;
  /** Null where there is no table of golfers, so that nobody's consent is written down. */
  readonly sharing: Sharing | null;
  /** Whether the folder holds every file that was asked for as it is, so that the report must come out as it was. */
  readonly isWhole: boolean;
  /** What was left out or changed, in sentences. */
  readonly notes: readonly string[];
}

/** What was made, or the refusal that ends the command. */
export type Made<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly result: CommandResult };

/** What an import or an erasure keeps for whoever holds the data, and nobody else. */
const FOR_THE_HOLDER = /^(?:originals\/|import-log\.jsonl$|erasures\.csv$)/;

/**
 * Makes the folder to hand on from the folder of data: the files as they are where every golfer consented, without what
 * imports left and what names somebody; else an export under codes of those who did (see `shareDataset`). `wanted` are the
 * only files taken as they are, null takes all.
 *
 * @param key gives the same codes in every archive
 */
export async function shareFolder(
  data: string,
  target: string,
  wanted: ReadonlySet<string> | null,
  key: Uint8Array | null,
): Promise<Made<SharedFolder>> {
  const hashed = await hashFolder(data);
  if (typeof hashed === 'string')
    return refuse({
      where: '--data',
      found: `"${data}", which ${hashed}`,
      expected: 'the folder the report was made from',
      remedy: 'check the spelling and the folder you are in',
    });
  const files = hashed.map(({ file }) => file);
  const loaded: Checked<Dataset> | null = hasGolfers(files) ? await loadDataset(data) : null;
  if (loaded?.valid === false) return { ok: false, result: datasetRefused(loaded.problems) };
  const sharing = loaded === null ? null : sharingOf(loaded.value);
  const few = loaded === null ? null : tooFew(loaded.value, sharing!);
  if (few !== null) return { ok: false, result: refused(1, [few]) };
  if (sharing !== null && sharing.withheld.size > 0) return underCodes(data, target, sharing, key);
  const asked = files.filter((name) => wanted?.has(name) ?? true);
  const named = new Set(await filesWithNames(data));
  const taken = asked.filter((name) => !FOR_THE_HOLDER.test(name) && !named.has(name));
  const missing = asked.filter((name) => named.has(name) && (wanted !== null || isTable(name)));
  if (missing.length > 0)
    return {
      ok: false,
      result: refused(
        1,
        missing.map((name) => ({
          where: name,
          found: 'a name that a mapping of an import knows',
          expected: 'data without names',
          remedy: 'take the name out, or hand the data on with share, which replaces it; nothing was written',
        })),
      ),
    };
  await mkdir(target, { recursive: true });
  for (const file of taken) {
    await mkdir(dirname(join(target, file)), { recursive: true });
    await cp(join(data, file), join(target, file));
  }
  const isWhole = taken.length === asked.length;
  return {
    ok: true,
    value: {
      folder: target,
      sharing,
      isWhole,
      notes: isWhole
        ? []
        : ['What imports left beside the data, and every file with a name in it, was left out.'],
    },
  };
}

/** An export of those who consented, as `share` makes it, and remembered as one. */
async function underCodes(
  data: string,
  target: string,
  sharing: Sharing,
  key: Uint8Array | null,
): Promise<Made<SharedFolder>> {
  let shared: Awaited<ReturnType<typeof shareDataset>>;
  try {
    shared = await shareDataset({
      folder: data,
      out: target,
      scope: 'share',
      ...(key === null ? {} : { key }),
    });
  } catch (error) {
    return { ok: false, result: folderBusy(error, '--data') };
  }
  if (!shared.valid) return { ok: false, result: datasetRefused(shared.problems) };
  const unnamed = new Set([...sharing.golfers, ...sharing.withheld]);
  return {
    ok: true,
    value: {
      folder: target,
      sharing: { ...sharing, unnamed, shown: shared.value.golfers },
      isWhole: false,
      notes: [
        'The data are an export by consent: under codes, with dates on a calendar of each golfer’s own and with what could single somebody out made coarse; data/README.md says how. Report and data belong together: the report was made again from these data, and differs from one about everybody in who is in it and in whatever was made coarse.',
      ],
    },
  };
}

async function filesWithNames(data: string): Promise<readonly string[]> {
  const names = await namesKnownIn(data);
  if (names.length === 0) return [];
  return (await scanFolder(data, { golfers: [], words: names, others: [] })).found;
}

/** The plan to hand on, as a file of its own; one that was locked goes without its lock where golfers are left out. */
export async function sharePlan(
  path: string,
  folder: string,
  sharing: Sharing | null,
): Promise<Made<{ readonly path: string; readonly notes: readonly string[] }>> {
  const given = await planGiven(path, undefined);
  if ('faults' in given) return { ok: false, result: refused(2, given.faults) };
  const target = join(folder, basename(path));
  await mkdir(folder, { recursive: true });
  if (sharing === null || sharing.unnamed.size === 0) {
    await cp(path, target);
    return { ok: true, value: { path: target, notes: [] } };
  }
  const locked = given.locked !== undefined;
  const text = locked ? `${JSON.stringify(given.options.plan, null, 2)}\n` : await readFile(path, 'utf8');
  const named = namedIn(text, sharing.unnamed);
  if (named.length > 0)
    return refuse({
      where: '--plan',
      found: `golfers named in it: ${named.length}`,
      expected: 'a plan that names nobody, since the data go under codes',
      remedy:
        'hand the report on to those who may see all of it, or take the names out of a copy of the plan',
    });
  await writeFile(target, text);
  const notes = locked
    ? [
        'The plan was locked. Its lock lists every row there was, so it is left out; who holds the whole dataset can show it.',
      ]
    : [];
  return { ok: true, value: { path: target, notes } };
}

/** A fault where the text of a file names a golfer, and the data go under codes. */
export function refuseNames(where: string, text: string, sharing: Sharing | null): readonly Fault[] {
  const named = sharing === null ? [] : namedIn(text, sharing.unnamed);
  if (named.length === 0) return [];
  return [
    {
      where,
      found: `golfers named in its text: ${named.length}`,
      expected: 'a text that names nobody, since the data go under codes',
      remedy: 'take them out of a copy, and export that',
    },
  ];
}

function hasGolfers(files: readonly string[]): boolean {
  return files.some((file) => /(?:^|\/)golfers\.[a-z]+$/.test(file));
}

function isTable(file: string): boolean {
  return /^[^/]+\.(?:csv|parquet|pq)$/.test(file) || file === 'datapackage.json';
}

function refuse(fault: Fault): { ok: false; result: CommandResult } {
  return { ok: false, result: refused(2, [fault]) };
}
