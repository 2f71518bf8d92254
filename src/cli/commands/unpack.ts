import { unpackDataset } from '../../dataset/index.ts';
import type { Given } from '../command.ts';
import { datasetRefused, warningsInWords } from '../dataset-words.ts';
import { takenFolder } from '../files.ts';
import { folderGiven, textOption } from '../folder.ts';
import type { Progress } from '../progress.ts';
import { type CommandResult, good, refused } from '../result.ts';

export async function run(given: Given, progress: Progress): Promise<CommandResult> {
  const folder = folderGiven(given, 'data');
  if (!folder.ok) return folder.result;
  const out = textOption(given, 'out') ?? '';
  const taken = await takenFolder('--out', out);
  if (taken.length > 0) return refused(2, taken);
  progress.step('Unpacking');
  const unpacked = await unpackDataset(folder.path, out);
  if (!unpacked.valid) return datasetRefused(unpacked.problems);
  const { tables, carried } = unpacked.value;
  const sameness = (same: boolean | null) =>
    same === null
      ? ''
      : same
        ? ', byte for byte the file that was packed'
        : ', the same values in another spelling than the file that was packed';
  const text = [
    `Unpacked ${folder.path} into ${out}:`,
    ...tables.map(({ file, rows, sameBytes }) => `- ${file}: ${rows} rows${sameness(sameBytes)}`),
    ...(carried.length === 0
      ? []
      : [`Carried along unchanged: ${carried.length} ${carried.length === 1 ? 'file' : 'files'}.`]),
  ];
  return good({ out, tables, carried }, text.join('\n'), warningsInWords(unpacked.problems, folder.path));
}
