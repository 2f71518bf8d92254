import { resolve } from 'node:path';
import {
  type NotebookProblem,
  type RunNotebookOptions,
  type RunNotebookResult,
  runNotebook,
  watchNotebook,
} from '../../notebook/index.ts';
import type { Given } from '../command.ts';
import { takenFolder } from '../files.ts';
import { textOption } from '../folder.ts';
import type { Progress } from '../progress.ts';
import { type CommandResult, type Fault, refused } from '../result.ts';
import { writtenOut } from '../terminal-text.ts';

export async function run(given: Given, progress: Progress): Promise<CommandResult> {
  const out = textOption(given, 'out') ?? '';
  const numbers = ['seed', 'cellSeconds', 'memoryMb'].map((name) => wholeNumber(given, name));
  const faults = [...numbers.flatMap((number) => number.faults), ...(await takenFolder('--out', out))];
  if (faults.length > 0) return refused(2, faults);
  const [seed, cellTimeLimit_s, memoryLimit_mb] = numbers.map(({ value }) => value);
  const options: RunNotebookOptions = {
    path: given.arguments[0] ?? '',
    dataDir: textOption(given, 'data') ?? null,
    outDir: out,
    ...(seed === undefined ? {} : { seed }),
    ...(cellTimeLimit_s === undefined ? {} : { cellTimeLimit_s }),
    ...(memoryLimit_mb === undefined ? {} : { memoryLimit_mb }),
  };
  if (given.options.watch === true) return watched(options);
  progress.step('Running the notebook');
  return resultOf(await runNotebook(options));
}

/** Runs until Ctrl-C. What happens meanwhile is told as it happens: a result at the end would come too late. */
async function watched(options: RunNotebookOptions): Promise<CommandResult> {
  const end = new AbortController();
  const stop = (): void => end.abort();
  process.once('SIGINT', stop);
  let last: CommandResult | null = null;
  const tell = (words: string): void => void process.stderr.write(`${writtenOut(words)}\n`);
  try {
    await watchNotebook({
      ...options,
      signal: end.signal,
      opened: (address) =>
        tell(`Open ${address} in a browser. Save the notebook to run it again; Ctrl-C ends this.`),
      ran: (result) => {
        last = resultOf(result);
        tell(result.ok ? 'The notebook ran to its end.' : last.messages.join('\n'));
      },
    });
  } finally {
    process.off('SIGINT', stop);
  }
  // What the last run said was told already.
  return { ...(last ?? refused(2, [])), messages: [] };
}

function resultOf({ ok, files, failedCell, problems }: RunNotebookResult): CommandResult {
  if (problems.length > 0) return refused(2, problems.map(withLine));
  const written = files.map((file) => resolve(file));
  const messages =
    failedCell === null
      ? []
      : [
          `${failedCell.name}${failedCell.line === null ? '' : ` (line ${failedCell.line})`} failed: ${failedCell.message.replaceAll('\n', '\n  ')}`,
          'Both files were written; the cells after it are marked as not run.',
        ];
  return { exit: ok ? 0 : 1, json: { ok, files: written, failedCell }, text: written.join('\n'), messages };
}

function withLine(problem: NotebookProblem): NotebookProblem {
  return {
    ...problem,
    where: problem.line === null ? problem.where : `${problem.where}, line ${problem.line}`,
  };
}

function wholeNumber(
  given: Given,
  name: string,
): { readonly value: number | undefined; readonly faults: readonly Fault[] } {
  const text = textOption(given, name);
  if (text === undefined) return { value: undefined, faults: [] };
  const value = Number(text);
  const least = name === 'seed' ? 0 : 1;
  if (/^\d+$/.test(text) && Number.isSafeInteger(value) && value >= least) return { value, faults: [] };
  const where = `--${name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)}`;
  const expected = `a whole number of at least ${least}`;
  return { value: undefined, faults: [{ where, found: `"${text}"`, expected, remedy: 'write digits only' }] };
}
