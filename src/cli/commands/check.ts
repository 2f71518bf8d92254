import { describeProblems, loadDataset, type Problem, TABLE_NAMES } from '../../dataset/index.ts';
import type { Given } from '../command.ts';
import { folderGiven } from '../folder.ts';
import type { Progress } from '../progress.ts';
import type { CommandResult } from '../result.ts';

export async function run(given: Given, progress: Progress): Promise<CommandResult> {
  const folder = folderGiven(given, 'data');
  if (!folder.ok) return folder.result;
  progress.step('Reading and checking');
  const loaded = await loadDataset(folder.path);
  const { problems } = loaded;
  const counts = countBySeverity(problems);
  const rows = loaded.valid
    ? Object.fromEntries(TABLE_NAMES.map((name) => [name, loaded.value.tables[name].length]))
    : null;
  const json = { valid: loaded.valid, ...counts, rows, problems };
  const words = problems.length === 0 ? [] : [describeProblems(problems), ''];
  const verdict = loaded.valid
    ? `${folder.path} can be used. Rows: ${rowsInWords(rows ?? {})}.${counts.warnings > 0 ? ` ${many(counts.warnings, 'warning')} to read.` : ''}`
    : `${folder.path} cannot be used yet: ${many(counts.errors, 'error')} to mend${counts.warnings > 0 ? ` and ${many(counts.warnings, 'warning')} to read` : ''}.`;
  return { exit: loaded.valid ? 0 : 1, json, text: [...words, verdict].join('\n'), messages: [] };
}

function countBySeverity(problems: readonly Problem[]): { errors: number; warnings: number } {
  const errors = problems.filter((problem) => problem.severity === 'error').length;
  return { errors, warnings: problems.length - errors };
}

function rowsInWords(rows: Readonly<Record<string, number>>): string {
  return Object.entries(rows)
    .filter(([, count]) => count > 0)
    .map(([name, count]) => `${count} in ${name}`)
    .join(', ');
}

function many(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`;
}
