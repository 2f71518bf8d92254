import { basename } from 'node:path';
import { describeProblems, readColumns } from '../../dataset/index.ts';
import { fitDocument } from '../../stats/index.ts';
import type { Given } from '../command.ts';
import { readNamedFile, readNamedJson } from '../files.ts';
import { fitInWords } from '../fit-words.ts';
import { textOption } from '../folder.ts';
import type { Progress } from '../progress.ts';
import { type CommandResult, refused } from '../result.ts';

export async function run(given: Given, progress: Progress): Promise<CommandResult> {
  const dataPath = textOption(given, 'data') ?? '';
  const model = await readNamedJson('--model', textOption(given, 'model') ?? '');
  const data = await readNamedFile('--data', dataPath);
  const faults = [...(model.ok ? [] : model.faults), ...(data.ok ? [] : data.faults)];
  if (!model.ok || !data.ok) return refused(2, faults);
  progress.step('Reading the data');
  const read = readColumns(basename(dataPath), data.value);
  if (!read.ok)
    return {
      exit: 2,
      json: { problems: read.problems },
      text: '',
      messages: [describeProblems(read.problems)],
    };
  progress.step('Fitting');
  const fitted = fitDocument(model.value, read.columns, { predict: given.options.predict === true });
  if (!fitted.ok) return refused(2, fitted.problems);
  const { model: fittedModel, result, unfit } = fitted;
  return {
    exit: unfit ? 1 : 0,
    json: result,
    text: fitInWords(fittedModel, result),
    messages: unfit ? result.diagnosis.notes : [],
  };
}
