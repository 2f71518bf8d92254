import { resolve } from 'node:path';
import {
  canonicalJson,
  type Dataset,
  loadPlan,
  STRATUM_COLUMNS,
  sealList,
  sha256Hex,
  shellWord,
  strataOf,
  stratumRules,
  writeNewFolder,
} from '../../dataset/index.ts';
import type { Given } from '../command.ts';
import { takenFolder } from '../files.ts';
import { textOption } from '../folder.ts';
import { type CommandResult, good, refused } from '../result.ts';
import { armsOfPlan } from './arms-of-plan.ts';
import { fault } from './fault.ts';
import { LIST } from './list-file.ts';

/** Below this a seed is found by trying: a thousand million lists are made in hours. */
const HARD_TO_GUESS = 1e12;

export async function seal(given: Given, seed: number, dataset: Dataset): Promise<CommandResult> {
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
    `Sealed a list for ${list.arms.join(' and ')} in ${out}: ${list.strata.map(({ stratum, seals }) => `${stratum} (${counts.get(stratum)} ${counts.get(stratum) === 1 ? 'golfer' : 'golfers'}, ${seals.length} entries)`).join('; ')}.`,
    `Its SHA-256: ${hash}`,
    `In each stratum the arms are level at the end of every block of ${n}, ${2 * n} or ${3 * n} golfers; where blocks end is sealed too.`,
    'The seed makes the list again, so it is the key. Give it to somebody who does not enter golfers, and write it nowhere else. No file can keep a secret from whoever holds its key.',
    `When a golfer has been entered: npm run --silent cli -- allocate --open ${shellWord(out)} --golfer ID --data FOLDER --seed SEED`,
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

function tally(names: readonly string[]): ReadonlyMap<string, number> {
  const counts = new Map<string, number>();
  for (const name of names) counts.set(name, (counts.get(name) ?? 0) + 1);
  return counts;
}
