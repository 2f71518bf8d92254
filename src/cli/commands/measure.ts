import { measureCapture } from '../../kinematics/index.ts';
import type { CommandSpec } from '../command.ts';
import { readNamedFile, readNamedJson } from '../files.ts';
import { textOption } from '../folder.ts';
import { measurementInWords } from '../measurement-words.ts';
import { good, refused } from '../result.ts';

export const measureCommand: CommandSpec = {
  name: 'measure',
  summary: 'From a capture (C3D) and its layout to the instants and the numbers of a swing.',
  example: 'measure --capture swing.c3d --layout layout.json --json',
  options: [
    { usage: '--capture <file>', summary: 'the capture (C3D)', required: true },
    {
      usage: '--layout <file>',
      summary: 'which channel is which landmark (JSON; see data-schemas/layout.schema.json)',
      required: true,
    },
  ],
  async run(given, progress) {
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
  },
};
