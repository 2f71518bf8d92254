import { cp, mkdir, readFile, writeFile } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import Papa from 'papaparse';
import {
  type Checked,
  csvLine,
  type Dataset,
  datasetFiles,
  keepGolfers,
  loadDataset,
} from '../../dataset/index.ts';
import { hashFolder } from '../../notebook/index.ts';
import { datasetRefused } from '../dataset-words.ts';
import { planGiven } from '../plan-given.ts';
import { type CommandResult, type Fault, refused } from '../result.ts';
import { namedIn, type Sharing, sharingOf, tooFew } from './consent.ts';

/** The data as they may be handed on, in a folder of their own. */
export interface SharedFolder {
  readonly folder: string;
  /** Null where there is no table of golfers, so that nobody's consent is written down. */
  readonly sharing: Sharing | null;
  /** What was left out or changed, in sentences. */
  readonly notes: readonly string[];
}

/** What was made, or the refusal that ends the command. */
export type Made<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly result: CommandResult };

const CURVES = ['curves.csv', 'curve-instants.csv'];

/**
 * Makes the folder to hand on from the folder of data: every file as it is where every golfer consented, else the
 * tables and curves with the rows of those who did. `wanted` are the only files taken as they are, null takes all.
 */
export async function shareFolder(
  data: string,
  target: string,
  wanted: ReadonlySet<string> | null,
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
  const few = sharing === null ? null : tooFew(sharing);
  if (few !== null) return { ok: false, result: refused(1, [few]) };
  await mkdir(target, { recursive: true });
  if (loaded === null || sharing === null || sharing.withheld.size === 0) {
    for (const file of files.filter((name) => wanted?.has(name) ?? true)) {
      await mkdir(dirname(join(target, file)), { recursive: true });
      await cp(join(data, file), join(target, file));
    }
    return { ok: true, value: { folder: target, sharing, notes: [] } };
  }
  const kept = keepGolfers(loaded.value, sharing.golfers);
  const made: Record<string, string> = datasetFiles(kept);
  const swings = new Set(kept.tables.swings.column('swing_id'));
  for (const name of CURVES.filter((file) => files.includes(file)))
    made[name] = rowsOfSwings(await readFile(join(data, name), 'utf8'), swings);
  for (const [file, text] of Object.entries(made)) await writeFile(join(target, file), text);
  const left = files.filter((file) => !(file in made) && !file.endsWith('.csv') && file !== 'plan.json');
  return {
    ok: true,
    value: {
      folder: target,
      sharing,
      notes: [
        'The tables are written anew with the rows of the golfers who consented; nothing else in them was changed.',
        ...(left.length === 0 ? [] : [`Left out, since they may tell of others: ${left.join(', ')}.`]),
      ],
    },
  };
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
  if (sharing === null || sharing.withheld.size === 0) {
    await cp(path, target);
    return { ok: true, value: { path: target, notes: [] } };
  }
  const locked = given.locked !== undefined;
  const text = locked ? `${JSON.stringify(given.options.plan, null, 2)}\n` : await readFile(path, 'utf8');
  const named = namedIn(text, sharing.withheld);
  if (named.length > 0)
    return refuse({
      where: '--plan',
      found: `golfers in it who did not consent to sharing: ${named.length}`,
      expected: 'a plan that names nobody else',
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

/** A fault where the text of a file names a golfer who did not consent. */
export function refuseNames(where: string, text: string, sharing: Sharing | null): readonly Fault[] {
  const named = sharing === null ? [] : namedIn(text, sharing.withheld);
  if (named.length === 0) return [];
  return [
    {
      where,
      found: `golfers in its text who did not consent to sharing: ${named.length}`,
      expected: 'a text that names nobody else',
      remedy: 'take them out of a copy, and export that',
    },
  ];
}

function hasGolfers(files: readonly string[]): boolean {
  return files.some((file) => /(?:^|\/)golfers\.[a-z]+$/.test(file));
}

function rowsOfSwings(text: string, swings: ReadonlySet<string | null>): string {
  const { data } = Papa.parse<string[]>(text, { skipEmptyLines: true });
  const [head = [], ...rows] = data;
  const place = head.findIndex((name) => name.replace(/^\uFEFF/, '').trim() === 'swing_id');
  return [head, ...rows.filter((row) => swings.has(row[place]?.trim() ?? null))].map(csvLine).join('');
}

function refuse(fault: Fault): { ok: false; result: CommandResult } {
  return { ok: false, result: refused(2, [fault]) };
}
