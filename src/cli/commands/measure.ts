import { measureCapture } from '../../kinematics/index.ts';
import type { Given } from '../command.ts';
import { readNamedFile, readNamedJson } from '../files.ts';
import { textOption } from '../folder.ts';
import { measureFolderCommand } from '../measure-folder.ts';
import { measurementInWords } from '../measurement-words.ts';
import type { Progress } from '../progress.ts';
import { type CommandResult, type Fault, good, refused } from '../result.ts';

export async function run(given: Given, progress: Progress): Promise<CommandResult> {
  const one = textOption(given, 'capture');
  const folder = textOption(given, 'captures');
  const out = textOption(given, 'out');
  if (folder !== undefined && one === undefined && out !== undefined)
    return measureFolderCommand(
      { captures: folder, layout: textOption(given, 'layout') ?? '', out },
      progress,
    );
  if (folder !== undefined || one === undefined || out !== undefined)
    return refused(2, [wrongWords(one, folder, out)]);
  const capture = await readNamedFile('--capture', one);
  const layout = await readNamedJson('--layout', textOption(given, 'layout') ?? '');
  const faults = [...(capture.ok ? [] : capture.faults), ...(layout.ok ? [] : layout.faults)];
  if (!capture.ok || !layout.ok) return refused(2, faults);
  progress.step('Measuring');
  const measured = measureCapture({ c3dBytes: capture.value, fileName: one, layout: layout.value });
  if (!measured.ok) {
    const requestIsWrong = measured.problems.every((problem) => problem.where.startsWith('layout'));
    return refused(requestIsWrong ? 2 : 1, measured.problems);
  }
  return good(measured.value, measurementInWords(measured.value), measured.value.warnings);
}

function wrongWords(one: string | undefined, folder: string | undefined, out: string | undefined): Fault {
  const given = [
    one === undefined ? '' : '--capture',
    folder === undefined ? '' : '--captures',
    out === undefined ? '' : '--out',
  ].filter((word) => word !== '');
  return {
    where: 'the command as typed',
    found: given.length === 0 ? 'no capture' : given.join(' with '),
    expected: '--capture FILE for one capture, or --captures FOLDER with --out FOLDER for many',
    remedy: 'give one of the two; measure --help shows all the words',
  };
}
