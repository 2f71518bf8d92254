import { resolve } from 'node:path';
import {
  AlreadyThereError,
  loadDataset,
  loadPlan,
  lockedPlanText,
  lockPlan,
  writeNewFile,
} from '../../dataset/index.ts';
import type { Given } from '../command.ts';
import { datasetRefused, warningsInWords } from '../dataset-words.ts';
import { textOption } from '../folder.ts';
import type { Progress } from '../progress.ts';
import { type CommandResult, good, refused } from '../result.ts';

export async function run(given: Given, progress: Progress): Promise<CommandResult> {
  const path = textOption(given, 'plan') ?? '';
  const data = textOption(given, 'data') ?? '';
  const out = textOption(given, 'out') ?? '';
  const loaded = await loadPlan(path);
  if (!loaded.valid)
    return refused(
      2,
      loaded.problems.map((problem) => ({ ...problem, where: `--plan ${path} ${problem.where}`.trim() })),
    );
  if (loaded.locked !== undefined)
    return refused(2, [
      {
        where: `--plan ${path}`,
        found: 'a plan that is locked already',
        expected: 'a plan that is not',
        remedy: 'keep this one; a plan that has to change is a new plan with a lock of its own',
      },
    ]);
  progress.step('Reading and checking the data');
  const dataset = await loadDataset(data, { mayBeEmpty: true });
  if (!dataset.valid) return datasetRefused(dataset.problems);
  const locked = lockPlan(loaded.plan, dataset.value);
  try {
    await writeNewFile(out, lockedPlanText(locked));
  } catch (error) {
    if (!(error instanceof AlreadyThereError)) throw error;
    return refused(2, [
      {
        where: '--out',
        found: `"${out}", which exists already`,
        expected: 'a new file',
        remedy: 'give another name; nothing was written',
      },
    ]);
  }
  const { golfers, sessions, swings, metricValues } = locked.data;
  const text = [
    `Locked ${path} with ${data}: ${golfers} golfers, ${inPhases(sessions, 'sessions')}, ${inPhases(swings, 'swings')}, values of ${loaded.plan.metric.column}: ${inPhases(metricValues)}.`,
    `The seal: ${locked.seal}`,
    'No file can show when it was made. Tell the seal today to somebody who will keep it with the date: a colleague, an ethics board, a public register. Whoever has it can check the plan later with: ask STUDY --data FOLDER --plan FILE --seal SEAL',
  ].join('\n');
  return good(
    { file: resolve(out), seal: locked.seal, data: { golfers, sessions, swings, metricValues } },
    text,
    warningsInWords(dataset.problems, data),
  );
}

function inPhases(counts: Readonly<Record<string, number>>, what = ''): string {
  const found = Object.entries(counts).filter(([, n]) => n > 0);
  const name = what === '' ? '' : ` ${what}`;
  return found.length === 0
    ? `no${name === '' ? 'ne' : name}`
    : found.map(([phase, n]) => `${n} ${phase}${name}`).join(', ');
}
