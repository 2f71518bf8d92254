import { readdir } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import {
  canonicalJson,
  type Dataset,
  loadDataset,
  loadPlan,
  type OpenedEntry,
  openFor,
  type Plan,
  type SealedList,
  STRATUM_COLUMNS,
  sealList,
  sha256Hex,
  strataOf,
  stratumRules,
  writeNewFile,
  writeNewFolder,
} from '../../dataset/index.ts';
import type { Given } from '../command.ts';
import { datasetRefused, warningsInWords } from '../dataset-words.ts';
import { readNamedJson, takenFolder } from '../files.ts';
import { textOption } from '../folder.ts';
import { type CommandResult, type Fault, good, refused } from '../result.ts';

const LIST = 'sealed-list.json';
const ENTRY = /^entry-\d{4,}\.json$/;
/** Below this a seed is found by trying: a thousand million lists are made in hours. */
const HARD_TO_GUESS = 1e12;

export async function run(given: Given): Promise<CommandResult> {
  const seed = seedOf(textOption(given, 'seed') ?? '');
  if (typeof seed !== 'number') return refused(2, [seed]);
  const data = textOption(given, 'data') ?? '';
  const loaded = await loadDataset(data, { mayBeEmpty: true });
  if (!loaded.valid) return datasetRefused(loaded.problems);
  const messages = warningsInWords(loaded.problems, data);
  const open = textOption(given, 'open');
  const result =
    open === undefined
      ? await seal(given, seed, loaded.value)
      : await openList(open, given, seed, loaded.value);
  return { ...result, messages: [...messages, ...result.messages] };
}

async function seal(given: Given, seed: number, dataset: Dataset): Promise<CommandResult> {
  const out = textOption(given, 'out');
  const planPath = textOption(given, 'plan');
  if (out === undefined || planPath === undefined)
    return refused(2, [
      fault(
        '--plan, --out',
        planPath === undefined ? 'no plan' : 'no folder',
        'to seal a list: a plan that names the arms, and a new folder; to open one: --open and --golfer',
        'give them, or open a list',
      ),
    ]);
  const taken = await takenFolder('--out', out);
  const loaded = await loadPlan(planPath);
  if (!loaded.valid)
    return refused(2, [
      ...taken,
      ...loaded.problems.map((problem) => ({
        ...problem,
        where: `--plan ${planPath} ${problem.where}`.trim(),
      })),
    ]);
  const arms = armsOfPlan(loaded.plan);
  const columns = (textOption(given, 'strata') ?? '')
    .split(',')
    .map((name) => name.trim())
    .filter((name) => name !== '');
  const faults = [
    ...taken,
    ...('fault' in arms ? [arms.fault] : []),
    ...columns
      .filter((name) => !STRATUM_COLUMNS.includes(name))
      .map((name) =>
        fault(
          '--strata',
          `"${name}"`,
          `columns of golfers.csv: ${STRATUM_COLUMNS.join(', ')}`,
          'correct the name',
        ),
      ),
    ...(dataset.tables.golfers.length === 0
      ? [fault('golfers.csv', 'no golfer', 'the golfers who are to take part', 'fill in golfers.csv')]
      : []),
  ];
  if (faults.length > 0 || 'fault' in arms) return refused(2, faults);
  const rules = stratumRules(dataset, columns);
  const counts = tally([...strataOf(dataset, rules).values()]);
  const list = sealList({
    seed,
    trial: loaded.plan.trial_id ?? 'T1',
    arms: arms.arms,
    rules,
    plan: sha256Hex(canonicalJson(loaded.plan)),
    counts,
  });
  const text = `${canonicalJson(list, { indent: 2, sortKeys: false })}\n`;
  await writeNewFolder(out, { [LIST]: text });
  const hash = sha256Hex(text);
  const n = list.arms.length;
  const words = [
    `Sealed a list for ${list.arms.join(' and ')} in ${out}: ${list.strata.map(({ stratum, seals }) => `${stratum} (${counts.get(stratum)} golfers, ${seals.length} entries)`).join('; ')}.`,
    `Its SHA-256: ${hash}`,
    `In each stratum the arms are level at the end of every block of ${n}, ${2 * n} or ${3 * n} golfers; where blocks end is sealed too.`,
    'The seed makes the list again, so it is the key. Give it to somebody who does not enter golfers, and write it nowhere else. No file can keep a secret from whoever holds its key.',
    `When a golfer has been entered: npm run --silent cli -- allocate --open ${out} --golfer ID --data FOLDER --seed SEED`,
  ];
  return good(
    { folder: resolve(out), sha256: hash, strata: Object.fromEntries(counts) },
    words.join('\n'),
    seed < HARD_TO_GUESS
      ? [
          'Mind: this seed is short enough to be found by trying. Conceal a list with a random number of 13 digits or more.',
        ]
      : [],
  );
}

async function openList(
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
        asked === 'all' ? 'nobody left' : 'nobody',
        'the golfer who is entered now',
        'give an id of golfers.csv',
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
    `For assignments.csv: ${outcome.opened.map(({ golfer_id, arm }) => `${golfer_id},${list.trial},${arm},DATE`).join('; ')}`,
    'Balance so far:',
    ...balance(list, all),
  ];
  return good({ opened: outcome.opened, balance: balanceTable(list, all) }, words.join('\n'));
}

function balanceTable(
  list: SealedList,
  entries: readonly OpenedEntry[],
): Record<string, Record<string, number>> {
  return Object.fromEntries(
    list.strata.map(({ stratum }) => [
      stratum,
      Object.fromEntries(
        list.arms.map((arm) => [
          arm,
          entries.filter((entry) => entry.stratum === stratum && entry.arm === arm).length,
        ]),
      ),
    ]),
  );
}

function balance(list: SealedList, entries: readonly OpenedEntry[]): string[] {
  return Object.entries(balanceTable(list, entries)).map(
    ([stratum, arms]) =>
      `  ${stratum}: ${Object.entries(arms)
        .map(([arm, n]) => `${arm} ${n}`)
        .join(', ')}`,
  );
}

/** What an entry of the list may say: an arm, or in a crossover an order. */
function armsOfPlan(plan: Plan): { readonly arms: readonly string[] } | { readonly fault: Fault } {
  const { control, drill = [] } = plan.arms ?? {};
  if (control === undefined || drill.length === 0)
    return {
      fault: fault(
        'the plan, /arms',
        'no control and drill to choose between',
        'the names of the control and of the drill, as they will stand in assignments.csv',
        'name them in the plan',
      ),
    };
  if (plan.design === 'crossover' && drill.length === 1)
    return { arms: [`${drill[0]} then ${control}`, `${control} then ${drill[0]}`] };
  if (plan.design === undefined || plan.design === 'parallel') return { arms: [control, ...drill] };
  return {
    fault: fault(
      'the plan, /design',
      plan.design,
      'parallel, or a crossover of one drill and a control',
      'there is nothing to allocate, or it has to be drawn by other means',
    ),
  };
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

function tally(names: readonly string[]): ReadonlyMap<string, number> {
  const counts = new Map<string, number>();
  for (const name of names) counts.set(name, (counts.get(name) ?? 0) + 1);
  return counts;
}

function seedOf(text: string): number | Fault {
  const seed = /^\d{1,16}$/.test(text) ? Number(text) : Number.NaN;
  return Number.isSafeInteger(seed)
    ? seed
    : fault(
        '--seed',
        `"${text}"`,
        'a whole number of up to 16 digits',
        'draw one at random and keep it to yourself',
      );
}

function fault(where: string, found: string, expected: string, remedy: string): Fault {
  return { where, found, expected, remedy };
}
