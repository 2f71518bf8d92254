import type { Problem } from '../problem.ts';
import type { Table } from '../table.ts';

/** Practice bouts with more ground-first strikes than repetitions. */
export function checkPractice(practice: Table<'practice'>): Problem[] {
  const [reps, ground] = [practice.numbers('reps'), practice.numbers('ground_first_count')];
  const problems: Problem[] = [];
  for (let index = 0; index < practice.length; index += 1)
    if (ground[index]! > reps[index]!)
      problems.push({
        kind: 'out-of-range',
        severity: 'error',
        table: 'practice',
        row: practice.line(index),
        column: 'ground_first_count',
        found: String(ground[index]),
        expected: `at most the ${reps[index]} repetitions of the same row`,
        remedy: 'Correct one of the two counts.',
      });
  return problems;
}

/** Capture files that lead out of the dataset's folder. */
export function checkPaths(captures: Table<'captures'>): Problem[] {
  return captures.text('file').flatMap((file, index): Problem[] => {
    if (file === null || !file.split('/').some((part) => part === '..' || part === '.')) return [];
    return [
      {
        kind: 'not-allowed',
        severity: 'error',
        table: 'captures',
        row: captures.line(index),
        column: 'file',
        found: file,
        expected: 'a path inside the folder, without . or ..',
        remedy: 'Put the file into the folder of the dataset and write its path from there.',
      },
    ];
  });
}
