import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import {
  canonicalJson,
  csvLine,
  type Dataset,
  type OpenedEntry,
  openFor,
  type SealedList,
  strataOf,
  writeNewFile,
} from '../../dataset/index.ts';
import type { Given } from '../command.ts';
import { readNamedJson } from '../files.ts';
import { textOption } from '../folder.ts';
import { type CommandResult, good, refused } from '../result.ts';
import { balance, balanceTable } from './balance.ts';
import { fault } from './fault.ts';
import { LIST } from './list-file.ts';

const ENTRY = /^entry-\d{4,}\.json$/;

export async function openList(
  folder: string,
  given: Given,
  seed: number,
  dataset: Dataset,
): Promise<CommandResult> {
  const read = await readNamedJson('--open', join(folder, LIST));
  if (!read.ok) return refused(2, read.faults);
  if (!isSealedList(read.value))
    return refused(2, [
      fault('--open', `a ${LIST} that is none`, 'the list as it was sealed', 'name the folder of a list'),
    ]);
  const list = read.value;
  const names = (await readdir(folder)).filter((name) => ENTRY.test(name)).sort();
  const before: OpenedEntry[] = [];
  for (const name of names) {
    const entry = await readNamedJson('--open', join(folder, name));
    if (!entry.ok) return refused(2, entry.faults);
    before.push(entry.value as OpenedEntry);
  }
  const asked = textOption(given, 'golfer');
  const strata = strataOf(dataset, list.rules);
  const entered = new Set(before.map(({ golfer_id }) => golfer_id));
  const golfers =
    asked === 'all'
      ? [...strata.keys()].filter((golfer) => !entered.has(golfer))
      : (asked ?? '')
          .split(',')
          .map((id) => id.trim())
          .filter((id) => id !== '');
  if (golfers.length === 0)
    return refused(2, [
      fault(
        '--golfer',
        asked === 'all' ? 'nobody left: every golfer has an entry' : 'nobody',
        'the golfer who is entered now',
        asked === 'all'
          ? `read what was dealt in the files entry-0001.json and on in ${folder}; an entry is opened once`
          : 'give an id of golfers.csv',
      ),
    ]);
  const outcome = openFor(list, seed, golfers, strata, before);
  if (!outcome.ok) return refused(2, outcome.problems);
  let number = before.length;
  for (const entry of outcome.opened)
    await writeNewFile(
      join(folder, `entry-${String(++number).padStart(4, '0')}.json`),
      `${canonicalJson(entry, { indent: 2, sortKeys: false })}\n`,
    );
  const all = [...before, ...outcome.opened];
  const words = [
    ...outcome.opened.map(
      ({ golfer_id, arm, stratum, place }) => `${golfer_id}: ${arm} (entry ${place} of ${stratum})`,
    ),
    'For assignments.csv, with the day in the place of DATE:',
    ...assignmentLines(outcome.opened, list.trial, dataset),
    'Balance so far:',
    ...balance(list, all),
  ];
  return good({ opened: outcome.opened, balance: balanceTable(list, all) }, words.join('\n'));
}

/** Lines to put below those that assignments.csv has, or would have: a cell for each of its columns. */
function assignmentLines(opened: readonly OpenedEntry[], trial_id: string, dataset: Dataset): string[] {
  const own = dataset.tables.assignments.columnNames;
  const columns = own.length > 0 ? own : ['golfer_id', 'trial_id', 'arm', 'assigned_on', 'stratum'];
  return opened.map(({ golfer_id, arm, stratum }) => {
    const cells: Record<string, string> = { golfer_id, trial_id, arm, assigned_on: 'DATE', stratum };
    return csvLine(columns.map((column) => cells[column] ?? '')).trimEnd();
  });
}

function isSealedList(value: unknown): value is SealedList {
  const list = value as Partial<SealedList> | null;
  return (
    typeof list === 'object' &&
    list?.kind === 'sealed allocation' &&
    list.format === 1 &&
    Array.isArray(list.arms) &&
    Array.isArray(list.rules) &&
    Array.isArray(list.strata)
  );
}
