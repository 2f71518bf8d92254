import { resolve } from 'node:path';
import { type Erasure, eraseGolfer, readKey } from '../../dataset/index.ts';
import type { Given } from '../command.ts';
import { folderBusy } from '../dataset-words.ts';
import { textOption } from '../folder.ts';
import type { Progress } from '../progress.ts';
import { type CommandResult, good, refused } from '../result.ts';

export async function run(given: Given, progress: Progress): Promise<CommandResult> {
  const golfer = given.arguments[0] ?? '';
  const data = textOption(given, 'data') ?? '';
  const keyFile = textOption(given, 'key');
  const key = keyFile === undefined ? null : await readKey(keyFile, { dataset: data });
  if (key !== null && !key.ok) return refused(2, key.problems);
  progress.step('Erasing, and looking through what is left');
  let erased: Awaited<ReturnType<typeof eraseGolfer>>;
  try {
    erased = await eraseGolfer(data, golfer, key === null ? {} : { key: key.value.bytes });
  } catch (error) {
    return folderBusy(error, '--data');
  }
  if (!erased.ok) return refused(erased.wrongWord === true ? 2 : 1, erased.problems);
  return good(
    { folder: resolve(data), ...erased.value },
    inWords(erased.value, data),
    warnings(erased.value),
  );
}

function inWords({ rows, captures, mentions, names, scan }: Erasure, data: string): string {
  const cut = Object.entries(rows).map(([path, count]) => `${count} from ${path}`);
  return [
    `The golfer is erased from ${data}.`,
    `Taken out: ${cut.length === 0 ? 'no rows' : cut.join(', ')}; captures: ${captures.length}; mentions in what belongs to others: ${mentions}.`,
    `Proof: ${scan.files} files (${scan.bytes < 1e5 ? `${Math.ceil(scan.bytes / 1000)} kB` : `${(scan.bytes / 1e6).toFixed(1)} MB`}) were looked through, with what is packed in them; the golfer${names === 0 ? '' : `, by the id and by ${names === 1 ? 'one spelling' : `${names} spellings`} of the name,`} was found in ${scan.found.length}.`,
    'That a golfer was erased, and not who, is noted in erasures.csv.',
  ].join('\n');
}

function warnings({ removed, namesNotSought, scan }: Erasure): string[] {
  const list = (paths: readonly string[]): string => paths.map((path) => `\n  ${path}`).join('');
  return [
    ...(removed.length === 0
      ? []
      : [
          `These files held the golfer and cannot be cut, so they are gone whole; reports can be made again:${list(removed)}`,
        ]),
    ...(scan.closed.length === 0
      ? []
      : [
          `These files are packed in a way that cannot be looked into here; look at them yourself:${list(scan.closed)}`,
        ]),
    ...(namesNotSought.length === 0
      ? []
      : [
          `These spellings of the name were not looked for, since another golfer has them too, or they are words or numbers of their own; rows that a mapping gives to the golfer are gone all the same: ${namesNotSought.join('; ')}`,
        ]),
    'Not reached: a name in a spelling that no mapping has, a nickname, what a picture shows; copies elsewhere (backups, exports, mail, the spreadsheets an import was made from) and what a disk keeps of removed files. An old spreadsheet is refused when it is imported again as it was; one whose lines were moved is not known again and brings the golfer back, so take the rows out of it. What the law asks of an erasure, and what must be kept, differs from place to place: ask whoever answers for data protection where you are.',
  ];
}
