import { resolve } from 'node:path';
import { runNotebook } from '../../notebook/index.ts';
import type { Given } from '../command.ts';
import { takenFolder } from '../files.ts';
import { textOption } from '../folder.ts';
import type { Progress } from '../progress.ts';
import { type CommandResult, refused } from '../result.ts';

export async function run(given: Given, progress: Progress): Promise<CommandResult> {
  const out = textOption(given, 'out') ?? '';
  const taken = await takenFolder('--out', out);
  if (taken.length > 0) return refused(2, taken);
  progress.step('Running the notebook');
  const { ok, files, failedCell, problems } = await runNotebook({
    path: given.arguments[0] ?? '',
    dataDir: textOption(given, 'data') ?? null,
    outDir: out,
  });
  if (problems.length > 0)
    return refused(
      2,
      problems.map((problem) => ({
        ...problem,
        where: problem.line === null ? problem.where : `${problem.where}, line ${problem.line}`,
      })),
    );
  const written = files.map((file) => resolve(file));
  const messages =
    failedCell === null
      ? []
      : [
          `${failedCell.name}${failedCell.line === null ? '' : ` (line ${failedCell.line})`} failed: ${failedCell.message}`,
          'Both files were written; the cells after it are marked as not run.',
        ];
  return { exit: ok ? 0 : 1, json: { ok, files: written, failedCell }, text: written.join('\n'), messages };
}
