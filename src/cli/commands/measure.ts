import { compareReadings, isMetricColumn, measureCapture } from '../../kinematics/index.ts';
import type { Given } from '../command.ts';
import { type Read, readNamedFile, readNamedJson } from '../files.ts';
import { textOption } from '../folder.ts';
import { measureFolderCommand } from '../measure-folder.ts';
import { measurementInWords } from '../measurement-words.ts';
import type { Progress } from '../progress.ts';
import { type CommandResult, type Fault, faultInWords, good, refused } from '../result.ts';

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
  const against = await readAgainst(textOption(given, 'against'));
  const faults = [capture, layout, against].flatMap((read) => (read.ok ? [] : read.faults));
  if (!capture.ok || !layout.ok || !against.ok) return refused(2, faults);
  progress.step('Measuring');
  const measured = measureCapture({ c3dBytes: capture.value, fileName: one, layout: layout.value });
  if (!measured.ok) {
    const requestIsWrong = measured.problems.every((problem) => problem.where.startsWith('layout'));
    return refused(requestIsWrong ? 2 : 1, measured.problems);
  }
  const { value } = measured;
  if (against.value === null) return good(value, measurementInWords(value), value.warnings);
  const differences = compareReadings(value, against.value);
  return {
    exit: differences.length > 0 ? 1 : 0,
    json: { ...value, differences },
    text: measurementInWords(value),
    messages: [
      ...value.warnings,
      ...differences.map(faultInWords),
      ...(differences.length === 0 ? ['The numbers given agree with the capture.'] : []),
    ],
  };
}

/** Numbers from another source for the same swing, by metric column. */
async function readAgainst(path: string | undefined): Promise<Read<Readonly<Record<string, number>> | null>> {
  if (path === undefined) return { ok: true, value: null };
  const read = await readNamedJson('--against', path);
  if (!read.ok) return read;
  const document = read.value;
  const fault = (found: string, remedy: string): Fault => ({
    where: `--against ${path}`,
    found,
    expected: 'an object of numbers by metric column, such as {"shaft_lean_impact_deg": 7}',
    remedy,
  });
  if (typeof document !== 'object' || document === null || Array.isArray(document))
    return { ok: false, faults: [fault('something that is no object', 'write one as shown')] };
  const numbers: Record<string, number> = {};
  const faults: Fault[] = [];
  for (const [column, value] of Object.entries(document)) {
    if (!isMetricColumn(column))
      faults.push(fault(`"${column}"`, 'give columns of the swings table that a capture measures'));
    else if (typeof value !== 'number')
      faults.push(fault(`${column}: ${JSON.stringify(value)}`, 'give a number, or leave the column out'));
    else numbers[column] = value;
  }
  return faults.length > 0 ? { ok: false, faults } : { ok: true, value: numbers };
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
