import { basename } from 'node:path';
import { describeProblems, readColumns, sqlTable, sumFile, sumsQuery } from '../../dataset/index.ts';
import {
  checkModel,
  type DataColumns,
  fitSums,
  type Model,
  planSums,
  type SumsPlan,
  sumsColumns,
} from '../../stats/index.ts';
import type { Given } from '../command.ts';
import { readNamedFile, readNamedJson } from '../files.ts';
import { fitInWords } from '../fit-words.ts';
import { textOption } from '../folder.ts';
import type { Progress } from '../progress.ts';
import { type CommandResult, good, refused } from '../result.ts';

export async function run(given: Given, progress: Progress): Promise<CommandResult> {
  const sources = ['data', 'sums', 'table'].flatMap((name) => {
    const value = textOption(given, name);
    return value === undefined ? [] : [{ name, value }];
  });
  const [source] = sources;
  if (!source || sources.length > 1)
    return refused(2, [
      {
        where: 'fit-sums',
        found: sources.length === 0 ? 'no source' : sources.map(({ name }) => `--${name}`).join(' and '),
        expected: 'one of --data (a file to sum), --sums (a table of sums), --table (print the SQL for it)',
        remedy: 'give one of the three',
      },
    ]);
  const read = await readNamedJson('--model', textOption(given, 'model') ?? '');
  if (!read.ok) return refused(2, read.faults);
  const checked = checkModel(read.value);
  if (!checked.ok) return refused(2, checked.problems);
  const { model } = checked;
  const predict = given.options.predict === true;
  if (source.name === 'table') return queryFor(model, source.value);
  if (source.name === 'sums') return fitTable(model, source.value, predict);
  progress.step('Summing');
  const sums = await sumFile(model, source.value);
  if (!sums.ok) return refused(2, sums.problems);
  if (given.options.printSql === true) return printed(sums.plan, sums.query);
  progress.step('Fitting');
  return fitted(sums.plan, sums.table, predict);
}

function queryFor(model: Model, table: string): CommandResult {
  const planned = planSums(model);
  if (!planned.ok) return refused(2, planned.problems);
  return printed(planned.plan, sumsQuery(planned.plan, sqlTable(table)));
}

function printed(plan: SumsPlan, sql: string): CommandResult {
  const columns = sumsColumns(plan).map(({ name, meaning }) => ({ name, meaning }));
  return good({ sql, columns }, sql);
}

async function fitTable(model: Model, path: string, predict: boolean): Promise<CommandResult> {
  const file = await readNamedFile('--sums', path);
  if (!file.ok) return refused(2, file.faults);
  const read = readColumns(basename(path), file.value);
  if (!read.ok)
    return {
      exit: 2,
      json: { problems: read.problems },
      text: '',
      messages: [describeProblems(read.problems)],
    };
  const planned = planSums(model);
  if (!planned.ok) return refused(2, planned.problems);
  return fitted(planned.plan, read.columns, predict);
}

function fitted(plan: SumsPlan, table: DataColumns, predict: boolean): CommandResult {
  const outcome = fitSums(plan, table, { predict });
  if (!outcome.ok) return refused(2, outcome.problems);
  const { result } = outcome.fit;
  const unfit = !result.diagnosis.converged;
  return {
    exit: unfit ? 1 : 0,
    json: result,
    text: fitInWords(plan.model, result),
    messages: unfit ? result.diagnosis.notes : [],
  };
}
