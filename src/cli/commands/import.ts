import { basename, dirname, join } from 'node:path';
import {
  AlreadyThereError,
  checkMapping,
  FolderChangedError,
  FolderInUseError,
  FolderUnsettledError,
  importFile,
  knownNames,
  loadDataset,
  proposeMapping,
  writeNewFolder,
} from '../../dataset/index.ts';
import type { Given } from '../command.ts';
import { readNamedFile, readNamedJson, takenFolder } from '../files.ts';
import { textOption } from '../folder.ts';
import { outcomeInWords, proposalInWords } from '../import-words.ts';
import type { Progress } from '../progress.ts';
import { type CommandResult, type Fault, good, refused } from '../result.ts';

export async function run(given: Given, progress: Progress): Promise<CommandResult> {
  const [file, mapping, data, out] = ['propose', 'mapping', 'data', 'out'].map((name) =>
    textOption(given, name),
  );
  if (file !== undefined && mapping === undefined && out !== undefined)
    return propose(file, out, data, progress);
  if (mapping !== undefined && file === undefined && data !== undefined)
    return apply({ mapping, data, out, other: textOption(given, 'file') }, progress);
  return refused(2, [
    {
      where: 'the command as typed',
      found:
        ['--propose', '--mapping', '--data', '--out']
          .filter((_, index) => [file, mapping, data, out][index] !== undefined)
          .join(' with ') || 'no file',
      expected: '--propose FILE --out FOLDER, or --mapping FILE --data FOLDER',
      remedy: 'propose a mapping first, answer what it asks, then apply it',
    },
  ]);
}

async function propose(
  path: string,
  out: string,
  data: string | undefined,
  progress: Progress,
): Promise<CommandResult> {
  const file = await readNamedFile('--propose', path);
  const taken = await takenFolder('--out', out);
  if (!file.ok || taken.length > 0) return refused(2, [...(file.ok ? [] : file.faults), ...taken]);
  progress.step('Reading');
  const known = data === undefined ? new Set<string>() : await golfersOf(data);
  if (!(known instanceof Set)) return refused(1, known);
  const earlier = data === undefined ? new Map<string, string>() : await knownNames(data, known);
  const proposal = proposeMapping(file.value, basename(path), known, earlier);
  if (!proposal.ok) return refused(1, proposal.problems);
  const { mapping, questions, rows } = proposal;
  await writeNewFolder(out, {
    'mapping.json': `${JSON.stringify(mapping, null, 2)}\n`,
    [basename(path) === 'mapping.json' ? 'sheet.csv' : basename(path)]: file.value,
  });
  return good(
    { mapping, questions, rows },
    proposalInWords(mapping, questions, rows, { mapping: join(out, 'mapping.json'), data }),
  );
}

/** The golfers of a dataset, which may hold no more than them. */
async function golfersOf(folder: string): Promise<Set<string> | readonly Fault[]> {
  const loaded = await loadDataset(folder, { mayBeEmpty: true });
  if (loaded.valid)
    return new Set(loaded.value.tables.golfers.column('golfer_id').filter((id): id is string => id !== null));
  const first = loaded.problems.find(({ severity }) => severity === 'error')!;
  return [
    {
      where: `--data ${folder}`,
      found: first.found,
      expected: first.expected,
      remedy: `${first.remedy} 'check' lists all that is wrong with it`,
    },
  ];
}

async function apply(
  paths: {
    readonly mapping: string;
    readonly data: string;
    readonly out: string | undefined;
    readonly other: string | undefined;
  },
  progress: Progress,
): Promise<CommandResult> {
  const json = await readNamedJson('--mapping', paths.mapping);
  if (!json.ok) return refused(2, json.faults);
  const checked = checkMapping(json.value);
  if (!checked.ok) return refused(2, checked.problems);
  const { mapping } = checked;
  const source =
    paths.other === undefined
      ? await readNamedFile('the file beside the mapping', join(dirname(paths.mapping), mapping.source.file))
      : await readNamedFile('--file', paths.other);
  const taken = paths.out === undefined ? [] : await takenFolder('--out', paths.out);
  if (!source.ok || taken.length > 0) return refused(2, [...(source.ok ? [] : source.faults), ...taken]);
  progress.step('Importing');
  try {
    const result = await importFile({
      mapping,
      source: source.value,
      otherFile: paths.other !== undefined,
      data: paths.data,
      ...(paths.out === undefined ? {} : { out: paths.out }),
    });
    if (!result.ok) {
      const rows = result.rows === null ? '' : ` Its ${result.rows} rows were left as they are.`;
      const no = refused(1, result.problems);
      return {
        ...no,
        json: { problems: result.problems, rows: result.rows },
        messages: [...no.messages, `Nothing was imported.${rows}`],
      };
    }
    const { value } = result;
    const { text, messages } = outcomeInWords(value, paths.out ?? paths.data);
    const whole = value.leftOut.every(({ asTold }) => asTold === true) && value.emptied.length === 0;
    return { exit: whole ? 0 : 1, json: value, text, messages };
  } catch (error) {
    return refusedByFolder(error, paths.out ?? paths.data);
  }
}

function refusedByFolder(error: unknown, folder: string): CommandResult {
  const known = [FolderInUseError, FolderChangedError, FolderUnsettledError, AlreadyThereError];
  if (!(error instanceof Error) || !known.some((kind) => error instanceof kind)) throw error;
  const words = error.message.replace(/^\w+: /, '');
  return refused(2, [
    {
      where: folder,
      found: words,
      expected: 'a folder that nobody else changes meanwhile',
      remedy: 'see above, then run the command again',
    },
  ]);
}
