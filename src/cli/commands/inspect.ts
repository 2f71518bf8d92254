import { basename } from 'node:path';
import { type Inspection, inspectCapture } from '../../kinematics/index.ts';
import type { Given } from '../command.ts';
import { readNamedFile } from '../files.ts';
import { textOption } from '../folder.ts';
import type { Progress } from '../progress.ts';
import { type CommandResult, good, refused } from '../result.ts';
import { withinLine } from '../terminal-text.ts';

export async function run(given: Given, progress: Progress): Promise<CommandResult> {
  const path = given.arguments[0] ?? '';
  const frameText = textOption(given, 'frame');
  if (frameText !== undefined && !/^\d{1,9}$/.test(frameText))
    return refused(2, [
      {
        where: '--frame',
        found: `"${frameText}"`,
        expected: 'the number of a frame, as the file counts',
        remedy: 'leave it out to see the first frame and which frames there are',
      },
    ]);
  const file = await readNamedFile('the capture', path);
  if (!file.ok) return refused(2, file.faults);
  progress.step('Reading');
  const inspected = inspectCapture({
    bytes: file.value,
    fileName: basename(path),
    ...(frameText === undefined ? {} : { frame: Number(frameText) }),
  });
  if (!inspected.ok) {
    const requestIsWrong = inspected.problems.every((problem) => problem.where === 'frame');
    return refused(requestIsWrong ? 2 : 1, inspected.problems);
  }
  return good(inspected.value, inWords(inspected.value, frameText ?? null), inspected.value.warnings);
}

/** A coordinate to a tenth of a millimetre; to four decimals where no unit is stated. */
function shown(size: number, unit: string | null): string {
  return size.toFixed(unit === 'mm' ? 1 : unit === 'cm' ? 2 : 4);
}

function inWords(capture: Inspection, frame: string | null): string {
  const { format, encoding, byteOrder, rateHz, firstFrame, lastFrame, frames, labels, unit, events, analog } =
    capture;
  const kind = [format, byteOrder, encoding].filter((part) => part !== null).join(', ');
  const lines = [
    `${kind}; ${rateHz === null ? 'rate not stated' : `${rateHz} Hz`}; frames ${firstFrame} to ${lastFrame} (${frames}); unit ${unit ?? 'not stated'}.`,
    `${analog.channels} analog channels${analog.rateHz === null || analog.channels === 0 ? '' : ` at ${analog.rateHz} Hz`}; ${events.length} events.`,
    '',
    `${labels.length} points, where each was${frame === null ? ' at the first frame' : ` at frame ${frame}`}${unit === null ? '' : `, in ${unit}`}:`,
    ...Object.entries(capture.points).map(
      ([label, point]) =>
        `  ${label}: ${point === null ? 'not seen' : point.map((size) => shown(size, unit)).join(', ')}`,
    ),
  ];
  return lines.map(withinLine).join('\n');
}
