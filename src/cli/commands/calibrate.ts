import { join, resolve } from 'node:path';
import { writeReport } from '../../report/index.ts';
import { calibrationFinding, serialiseFinding } from '../../studies/index.ts';
import type { Given } from '../command.ts';
import { takenFolder } from '../files.ts';
import { findingInWords } from '../finding-words.ts';
import { textOption } from '../folder.ts';
import { numberOptions } from '../number-options.ts';
import type { Progress } from '../progress.ts';
import { type CommandResult, refused } from '../result.ts';

export async function run(given: Given, progress: Progress): Promise<CommandResult> {
  const out = textOption(given, 'out');
  const { values, faults } = numberOptions(given, ['cohorts', 'seed', 'workers'] as const);
  const taken = out === undefined ? [] : await takenFolder('--out', out);
  if (taken.length + faults.length > 0) return refused(2, [...taken, ...faults]);
  const studies = textOption(given, 'study')
    ?.split(',')
    .map((name) => name.trim())
    .filter((name) => name !== '');
  const input = { ...values, ...(studies === undefined ? {} : { studies }) };
  const outcome = await calibrationFinding(input, (step) => progress.step(step));
  if (!outcome.ok) return refused(2, outcome.problems);
  const { finding } = outcome;
  const json: unknown = JSON.parse(serialiseFinding(finding));
  const words = findingInWords(finding);
  if (out === undefined) return { exit: 0, json, text: words, messages: [] };
  progress.step('Writing the report');
  const { page } = await writeReport(out, finding);
  return { exit: 0, json, text: `${words}\n\nThe report: ${resolve(join(out, page))}`, messages: [] };
}
