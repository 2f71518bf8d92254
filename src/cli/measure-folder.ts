import { resolve } from 'node:path';
import { type MeasuredFolder, type MeasureFolderRequest, measureFolder } from '../dataset/index.ts';
import type { Progress } from './progress.ts';
import { type CommandResult, type Fault, faultInWords, refused } from './result.ts';

/** Measures a folder of captures; the outcome is 1 where some of them gave no numbers. */
export async function measureFolderCommand(
  request: MeasureFolderRequest,
  progress: Progress,
): Promise<CommandResult> {
  let said = 0;
  const outcome = await measureFolder({
    ...request,
    onProgress(done, total) {
      const now = performance.now();
      if (now - said < BETWEEN_WORDS_MS) return;
      said = now;
      progress.step(`${done} of ${total} captures`);
    },
  });
  if (!outcome.ok) return refused(2, outcome.problems);
  const { value } = outcome;
  return {
    exit: value.failed.length > 0 ? 1 : 0,
    json: value,
    text: inWords(value, request.out),
    messages: failures(value),
  };
}

const BETWEEN_WORDS_MS = 2000;
/** More would scroll the summary away; all of them stand in measure-report.csv. */
const MOST_SHOWN = 20;

function failures({ failed }: MeasuredFolder): string[] {
  const shown = failed.slice(0, MOST_SHOWN).map(({ file, where, ...rest }) => {
    const fault: Fault = { where: `${file}: ${where}`, ...rest };
    return faultInWords(fault);
  });
  return failed.length > MOST_SHOWN
    ? [...shown, `and ${failed.length - MOST_SHOWN} more, in measure-report.csv`]
    : shown;
}

function inWords(
  { measured, failed, skipped, copies, manifest, written }: MeasuredFolder,
  out: string,
): string {
  const earlier = skipped - copies.length;
  const parts = [
    `${measured} measured`,
    ...(earlier > 0 ? [`${earlier} measured in an earlier run`] : []),
    ...(copies.length > 0 ? [`${copies.length} copies of another file`] : []),
    `${failed.length} failed`,
  ];
  const total = measured + skipped + failed.length;
  return [
    `${total} ${total === 1 ? 'capture' : 'captures'}: ${parts.join(', ')}.`,
    ...(manifest
      ? []
      : [
          'There is no manifest.csv, so each capture was taken as a full swing, named by its file, in the order of the names, in a session named by its folder.',
        ]),
    written.length === 0
      ? `Nothing new to write; the tables in ${resolve(out)} stand as they are.`
      : `swings.csv, captures.csv and measure-report.csv (what to know about each file) are in ${resolve(out)}.${
          written.includes('curves.csv') ? ' Angles over the downswing are in curves.csv beside them.' : ''
        }`,
  ].join('\n');
}
