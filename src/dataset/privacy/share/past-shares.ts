import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { codeOf } from '../../new-files.ts';
import type { Scope } from './consent.ts';

/**
 * Who was in which export, and in which group of golfers of whom the same is said: one line for each golfer of an export. It
 * lies in the roster's folder, whose golfers it names, and goes into no export; of an erased golfer it keeps that there was one, and not
 * who. It is written before the export stands, so that it may know of one that was interrupted and never came. Its name begins
 * with a dot, so that it is no part of the data that a report or notebook was made from.
 */
export const SHARES_FILE = '.shares.jsonl';

/** The exports that were made of a roster before. */
export interface PastShares {
  readonly count: number;
  /** For each golfer who was in one, the group in each export (null where the golfer was not in it), as a text. */
  readonly historyOf: ReadonlyMap<string, string>;
  readonly text: string;
}

/** @throws Error when a line is not one that was written here: a memory that was changed protects nobody */
export async function pastShares(folder: string): Promise<PastShares> {
  let text: string;
  try {
    text = await readFile(join(folder, SHARES_FILE), 'utf8');
  } catch (error) {
    if (codeOf(error) !== 'ENOENT') throw error;
    text = '';
  }
  const groups = new Map<string, Map<number, number>>();
  let count = 0;
  for (const line of text.split('\n').filter((one) => one !== '')) {
    const { share, golfer, group } = lineOf(line);
    count = Math.max(count, share);
    groups.set(golfer, (groups.get(golfer) ?? new Map()).set(share, group));
  }
  const shares = Array.from({ length: count }, (_, index) => index + 1);
  const historyOf = new Map(
    [...groups].map(([golfer, own]) => [
      golfer,
      JSON.stringify(shares.map((share) => own.get(share) ?? null)),
    ]),
  );
  return { count, historyOf, text };
}

/** The memory with one more export in it. @param groupOf what the golfers of the export have in common, as a text each */
export function withShare(past: PastShares, scope: Scope, groupOf: ReadonlyMap<string, string>): string {
  const names = [...new Set(groupOf.values())].sort();
  const number = new Map(names.map((name, index) => [name, index + 1]));
  const lines = [...groupOf]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([golfer, group]) =>
      JSON.stringify({ share: past.count + 1, scope, golfer, group: number.get(group) }),
    );
  const before = past.text === '' || past.text.endsWith('\n') ? past.text : `${past.text}\n`;
  return `${before}${lines.join('\n')}\n`;
}

/** One line: that a golfer was in an export, and in which group there. */
export interface PastShare {
  readonly share: number;
  readonly golfer: string;
  readonly group: number;
}

/** @returns null where a line is none of an export */
export function pastShareOf(line: string): PastShare | null {
  try {
    const entry = JSON.parse(line) as PastShare | null;
    const { share, golfer, group } = entry ?? {};
    return Number.isInteger(share) && typeof golfer === 'string' && Number.isInteger(group) ? entry : null;
  } catch {
    return null;
  }
}

function lineOf(line: string): PastShare {
  const entry = pastShareOf(line);
  if (entry !== null) return entry;
  throw new Error(
    `pastShares: ${SHARES_FILE} has a line that was not written by an export. Put the file back from a copy, or move it away and hand on nothing that could be compared with an earlier export.`,
  );
}
