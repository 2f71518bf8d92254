import { resolve } from 'node:path';
import { type Pseudonymised, pseudonymise, readKey } from '../../dataset/index.ts';
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
  const keyFile = textOption(given, 'key') ?? '';
  const key = await readKey(keyFile, { dataset: folder.path, others: [out], make: true });
  if (!key.ok) return refused(2, key.problems);
  progress.step('Writing the dataset under pseudonyms');
  const coded = await pseudonymise(folder.path, out, key.value.bytes);
  if (!coded.valid) return datasetRefused(coded.problems);
  const { golfers, sessions, swings, captures } = coded.value;
  return good(
    { folder: resolve(out), newKey: key.value.isNew, ...coded.value },
    [
      `Wrote ${golfers} golfers, ${sessions} sessions, ${swings} swings and ${captures} captures under pseudonyms to ${out}.`,
      `${folder.path} is as it was, with the old ids: keep it apart, or remove it once you have looked at the new one.`,
    ].join('\n'),
    [
      ...(key.value.isNew
        ? [
            `A new key was made: ${keyFile}. Keep it in a safe place of its own, with a copy: without it the pseudonyms of this roster can never be made again.`,
          ]
        : []),
      ...leftBehind(coded.value),
      ...warningsInWords(coded.problems, folder.path),
    ],
  );
}

function leftBehind({ columnsLeftOut, filesLeftOut }: Pseudonymised): string[] {
  return [
    ...(columnsLeftOut.length === 0
      ? []
      : [`Columns left behind, since nobody knows what they tell: ${columnsLeftOut.join(', ')}.`]),
    ...(filesLeftOut.length === 0
      ? []
      : [
          `Files left behind, since they may hold the old ids:${filesLeftOut.map((file) => `\n  ${file}`).join('')}`,
        ]),
  ];
}
