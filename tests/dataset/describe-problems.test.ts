import { describe, expect, it } from 'vitest';
import { describeProblems, type Problem } from '../../src/dataset/index.ts';

const problem = (row: number, found: string, severity: Problem['severity'] = 'error'): Problem => ({
  kind: 'suspect-unit',
  severity,
  table: 'swings',
  row,
  column: 'club_speed_mps',
  found,
  expected: 'a number from 0.5 to 75 m/s',
  remedy: 'It looks like miles an hour.',
});

describe('describeProblems', () => {
  it('writes a few of a kind, counts the rest and says once what to do', () => {
    const words = describeProblems(Array.from({ length: 120 }, (_, index) => problem(index + 2, '98')));
    expect(words).toBe(
      [
        'ERROR: swings, column club_speed_mps (120 times)',
        '  line 2: found 98; expected a number from 0.5 to 75 m/s.',
        '  line 3: found 98; expected a number from 0.5 to 75 m/s.',
        '  line 4: found 98; expected a number from 0.5 to 75 m/s.',
        '  and 117 more.',
        '  What to do: It looks like miles an hour.',
        '',
        '120 errors and 0 warnings. Nothing was changed. A study can run once the errors are gone.',
      ].join('\n'),
    );
  });

  it('puts errors before warnings, and each its own remedy where they differ', () => {
    const words = describeProblems([
      problem(9, 'a', 'warning'),
      { ...problem(2, 'b'), remedy: 'First.' },
      { ...problem(3, 'c'), remedy: 'Second.' },
    ]);
    expect(words.indexOf('ERROR')).toBeLessThan(words.indexOf('Warning'));
    expect(words).toContain('First.');
    expect(words).toContain('Second.');
  });

  it('cuts what is long and shows what cannot be seen', () => {
    const words = describeProblems([problem(2, `\u0007\u202e${'x'.repeat(10_000)}`)]);
    expect(words).toContain('\\u0007\\u202exxx');
    expect(words).toContain('(10002 characters)');
    expect(words.length).toBeLessThan(500);
  });

  it('has words for nothing wrong, and for warnings alone', () => {
    expect(describeProblems([])).toBe('No problems found.');
    expect(describeProblems([problem(2, 'a', 'warning')])).toContain(
      '1 warning and no error. A study can run.',
    );
  });
});
