import type { Problem } from './problem.ts';

/** How many problems are written out, and how long. */
export interface DescribeOptions {
  /** How many problems of one kind in one column are written out; the rest are counted. Default 3. */
  readonly perKind?: number;
  /** Longer values are cut for display. Default 60 characters. */
  readonly longest?: number;
}

/**
 * Problems for people: those of one kind in one column together, a few of each written out and the rest
 * counted, errors before warnings. Nothing is lost: all of them are in the list itself.
 *
 * @example
 * const place = { table: 'swings', row: 2, column: 'club_speed_mps', found: '98', expected: 'a number from 0.5 to 75 m/s' };
 * const problem = { kind: 'out-of-range', severity: 'error', ...place, remedy: 'Multiply each value by 0.44704.' };
 * describeProblems([problem]).split('\n').slice(0, 3)
 * // [
 * //   'ERROR: swings, column club_speed_mps',
 * //   '  line 2: found 98; expected a number from 0.5 to 75 m/s.',
 * //   '  What to do: Multiply each value by 0.44704.',
 * // ]
 */
export function describeProblems(problems: readonly Problem[], options: DescribeOptions = {}): string {
  const { perKind = 3, longest = 60 } = options;
  const groups = new Map<string, Problem[]>();
  for (const problem of problems) {
    const key = JSON.stringify([problem.severity, problem.kind, problem.table, problem.column]);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [problem]);
    else group.push(problem);
  }
  const all = [...groups.values()];
  const bySeverity = [
    ...all.filter(([first]) => first?.severity === 'error'),
    ...all.filter(([first]) => first?.severity === 'warning'),
  ];
  return [...bySeverity.map((group) => describeGroup(group, perKind, longest)), counts(problems)].join(
    '\n\n',
  );
}

function describeGroup(group: readonly Problem[], perKind: number, longest: number): string {
  const first = group[0]!;
  const place = first.column === null ? first.table : `${first.table}, column ${cut(first.column, longest)}`;
  const shown = group.slice(0, perKind);
  const sameRemedy = shown.every(({ remedy }) => remedy === first.remedy);
  const lines = shown.flatMap((problem) => [
    `  ${problem.row === null ? '' : `line ${problem.row}: `}found ${cut(problem.found, longest)}; expected ${sentence(problem.expected)}`,
    ...(sameRemedy ? [] : [`    ${problem.remedy}`]),
  ]);
  const more = group.length - shown.length;
  return [
    `${first.severity === 'error' ? 'ERROR' : 'Warning'}: ${place}${group.length > 1 ? ` (${group.length} times)` : ''}`,
    ...lines,
    ...(more > 0 ? [`  and ${more} more.`] : []),
    ...(sameRemedy ? [`  What to do: ${first.remedy}`] : []),
  ].join('\n');
}

function counts(problems: readonly Problem[]): string {
  const errors = problems.filter(({ severity }) => severity === 'error').length;
  const warnings = problems.length - errors;
  if (problems.length === 0) return 'No problems found.';
  const number = (count: number, word: string) => `${count} ${word}${count === 1 ? '' : 's'}`;
  return errors > 0
    ? `${number(errors, 'error')} and ${number(warnings, 'warning')}. Nothing was changed. A study can run once the errors are gone.`
    : `${number(warnings, 'warning')} and no error. A study can run.`;
}

const sentence = (text: string) => (text.endsWith('.') ? text : `${text}.`);

/** A value fit for a line: what cannot be seen is written as a code, what is long is cut and says so. */
function cut(text: string, longest: number): string {
  const visible = text.replace(
    /[\p{Cc}\p{Cf}]/gu,
    (character) => `\\u${character.codePointAt(0)!.toString(16).padStart(4, '0')}`,
  );
  if (visible.length <= longest) return visible;
  return `${visible.slice(0, longest)}... (${text.length} characters)`;
}
