import { describe, expect, it } from 'vitest';
import { readColumns } from '../../src/dataset/index.ts';

const read = (text: string) => readColumns('d.csv', new TextEncoder().encode(text));

describe('readColumns', () => {
  it('gives the columns of any CSV file as text, missing as null', () => {
    expect(read('\uFEFFDays,Subject\r\n0,"3,08"\r\n1,\r\n\r\n')).toEqual({
      ok: true,
      columns: { Days: ['0', '1'], Subject: ['3,08', null] },
    });
  });

  it.each([
    ['a;b\n1;2\n', 'unreadable-file', 1],
    ['a,b\n', 'empty-file', null],
    ['', 'empty-file', null],
    ['a,b\n1\n', 'ragged-row', 2],
    ['a,a\n1,2\n', 'duplicate-column', 1],
    ['a,__proto__\n1,2\n', 'missing-column', 1],
    ['a,b\n1,x"y\n', 'unreadable-file', 2],
  ])('refuses %j with the line', (text, kind, row) => {
    const outcome = read(text);
    if (outcome.ok) throw new Error('must be refused');
    expect(outcome.problems[0]).toMatchObject({ kind, row, table: 'd.csv', severity: 'error' });
  });
});
