import {
  describeProblems,
  FolderChangedError,
  FolderInUseError,
  FolderUnsettledError,
  type Problem,
  shellWord,
} from '../dataset/index.ts';
import { type CommandResult, refused } from './result.ts';

/** The data cannot be used as they are: every problem in the document, and grouped for people on stderr. */
export function datasetRefused(problems: readonly Problem[]): CommandResult {
  return {
    exit: 1,
    json: { problems },
    text: '',
    messages: [
      describeProblems(problems),
      'Nothing was computed. Mend the errors and ask again; the files are as they were.',
    ],
  };
}

/** One line that says there are warnings and where to read them; nothing where there are none. */
export function warningsInWords(problems: readonly Problem[], folder: string): readonly string[] {
  if (problems.length === 0) return [];
  const count = problems.length === 1 ? '1 warning' : `${problems.length} warnings`;
  return [
    `The data gave ${count}; to read ${problems.length === 1 ? 'it' : 'them'}: npm run --silent cli -- check ${shellWord(folder)}`,
  ];
}

/**
 * The folder is being written by another process, or was changed meanwhile: a refusal in words.
 *
 * @throws whatever else `error` is
 */
export function folderBusy(error: unknown, option: string): CommandResult {
  if (
    !(error instanceof FolderInUseError) &&
    !(error instanceof FolderChangedError) &&
    !(error instanceof FolderUnsettledError)
  )
    throw error;
  return refused(1, [
    {
      where: option,
      found: error.message.replace(/^\w+: /, ''),
      expected: 'a folder that nobody else writes to',
      remedy: 'see above; the folder is as it was',
    },
  ]);
}
