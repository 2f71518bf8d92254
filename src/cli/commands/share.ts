import { resolve } from 'node:path';
import { readKey, SCOPES, type Scope, type Shared, shareDataset } from '../../dataset/index.ts';
import type { Given } from '../command.ts';
import { datasetRefused, folderBusy, warningsInWords } from '../dataset-words.ts';
import { takenFolder } from '../files.ts';
import { folderGiven, textOption } from '../folder.ts';
import type { Progress } from '../progress.ts';
import { type CommandResult, good, refused } from '../result.ts';

export async function run(given: Given, progress: Progress): Promise<CommandResult> {
  const folder = folderGiven(given, 'data');
  if (!folder.ok) return folder.result;
  const out = textOption(given, 'out') ?? '';
  const scope = textOption(given, 'scope') ?? '';
  const faults = [
    ...(await takenFolder('--out', out)),
    ...(isScope(scope)
      ? []
      : [
          {
            where: '--scope',
            found: `"${scope}"`,
            expected: `one of ${SCOPES.join(', ')}`,
            remedy: 'name what the golfers must have agreed to, as in consent_scope',
          },
        ]),
  ];
  if (!isScope(scope) || faults.length > 0) return refused(2, faults);
  const keyFile = textOption(given, 'key');
  const key = keyFile === undefined ? null : await readKey(keyFile, { dataset: folder.path, others: [out] });
  if (key !== null && !key.ok) return refused(2, key.problems);
  progress.step('Looking for who would stand out');
  let shared: Awaited<ReturnType<typeof shareDataset>>;
  try {
    shared = await shareDataset({
      folder: folder.path,
      out,
      scope,
      ...(key === null ? {} : { key: key.value.bytes }),
      withCaptures: given.options.captures === true,
    });
  } catch (error) {
    return folderBusy(error, '--data');
  }
  if (!shared.valid) return datasetRefused(shared.problems);
  return good({ folder: resolve(out), scope, ...shared.value }, inWords(shared.value, out), [
    'These numbers are for you and not to be handed on with the export: together they can single somebody out. Its README.md says what may be said.',
    'Who is in this export is remembered in .shares.jsonl of the dataset, so that the next one can be kept apart from it.',
    ...(given.options.captures === true
      ? ['Captures came along: a movement, and the length of the limbs in it, can be recognised.']
      : []),
    'Whether the export may be handed on, and to whom, is settled by the law of the place and by what the golfers were told: ask whoever answers for data protection where you are.',
    ...warningsInWords(shared.problems, folder.path),
  ]);
}

function isScope(text: string): text is Scope {
  return (SCOPES as readonly string[]).includes(text);
}

function inWords(
  {
    golfers,
    sessions,
    swings,
    captures,
    capturesLeftOut,
    earlier,
    leftOut,
    cellsEmptied,
    columnsLeftOut,
  }: Shared,
  out: string,
): string {
  const list = (counts: Readonly<Record<string, number>>): string => {
    const some = Object.entries(counts).filter(([, count]) => count > 0);
    return some.length === 0 ? 'none' : some.map(([what, count]) => `${count} ${what}`).join(', ');
  };
  return [
    `Wrote an export to ${out}: ${golfers} golfers, ${sessions} sessions, ${swings} swings, ${captures} captures.`,
    ...(earlier === 0
      ? []
      : [
          `Earlier exports of this roster: ${earlier}. Who came or went since is shown only where five or more did, so that nobody is found by taking one export from another.`,
        ]),
    `Golfers left out: ${list(leftOut)}.`,
    `Cells emptied: ${list(cellsEmptied)}.`,
    ...(capturesLeftOut.length === 0
      ? []
      : [
          `Captures left out, since they could not be read and so not be freed of what they say: ${capturesLeftOut.join(', ')}.`,
        ]),
    ...(columnsLeftOut.length === 0 ? [] : [`Columns left out: ${columnsLeftOut.join(', ')}.`]),
  ].join('\n');
}
