import { measureCapture } from '../../kinematics/index.ts';
import type { Given } from '../command.ts';
import { readNamedFile, readNamedJson } from '../files.ts';
import { textOption } from '../folder.ts';
import { measurementInWords } from '../measurement-words.ts';
import type { Progress } from '../progress.ts';
import { type CommandResult, good, refused } from '../result.ts';

export async function run(given: Given, progress: Progress): Promise<CommandResult> {
  const capture = await readNamedFile('--capture', textOption(given, 'capture') ?? '');
  const layout = await readNamedJson('--layout', textOption(given, 'layout') ?? '');
  const faults = [...(capture.ok ? [] : capture.faults), ...(layout.ok ? [] : layout.faults)];
  if (!capture.ok || !layout.ok) return refused(2, faults);
  progress.step('Measuring');
  const measured = measureCapture({ c3dBytes: capture.value, layout: layout.value });
  if (!measured.ok) {
    const requestIsWrong = measured.problems.every((problem) => problem.where.startsWith('layout'));
    return refused(requestIsWrong ? 2 : 1, measured.problems);
  }
  return good(measured.value, measurementInWords(measured.value), measured.value.warnings);
}
