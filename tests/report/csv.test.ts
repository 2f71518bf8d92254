import fc from 'fast-check';
import Papa from 'papaparse';
import { describe, expect, it } from 'vitest';
import { tableCsv, textOfCell } from '../../src/report/csv.ts';
import { hostile } from './fixture.ts';

const table = (rows: readonly Record<string, string | number | null>[]) => ({
  columns: [
    { key: 'golfer', label: 'golfer' },
    { key: 'change', label: 'change', unit: 'deg' },
  ],
  rows,
});
/** Any text, and those that guard or begin like a guarded one. */
const anyText = fc.oneof(
  fc.string(),
  fc
    .tuple(fc.constantFrom("'", "''", '=', "'=", "''=", '\t', "'\n", "' +", 'a\n-'), fc.string())
    .map((parts) => parts.join('')),
  fc.constantFrom(...hostile),
);

describe('tableCsv', () => {
  it('has units in its head, full digits, and an empty cell for what is missing', () => {
    const text = tableCsv(
      table([
        { golfer: 'G01', change: -1.234567890123 },
        { golfer: 'G02', change: null },
      ]),
    );
    expect(text).toBe('golfer,change (deg)\nG01,-1.234567890123\nG02,\n');
  });
  it('gives no cell that a spreadsheet would take for a formula (OWASP: = + - @ tab, carriage return)', () => {
    const risky = ['=1+1', '+1', '-1', '@SUM(A1)', '\t=1', '\r=1', ' =1', ...hostile];
    const text = tableCsv(table(risky.map((golfer) => ({ golfer, change: 1 }))));
    const cells = Papa.parse<string[]>(text, { newline: '\n' })
      .data.slice(1, -1)
      .map((row) => row[0] as string);
    expect(cells).toHaveLength(risky.length);
    for (const cell of cells) expect(cell).not.toMatch(/^\s*[=+\-@\t\r]/);
  });
  it('guards full-width signs, signs after invisible ones, and quotes what other countries part cells at', () => {
    const risky = ['\uFF1D1+1', '\uFF0B1', '\uFF0D1', '\uFF20A1', '\u200b=1', '\u202e=1', '\ufeff=1'];
    const text = tableCsv(table(risky.map((golfer) => ({ golfer, change: 1 }))));
    for (const line of text.split('\n').slice(1, -1)) expect(line).toMatch(/^'/);
    // A spreadsheet that parts cells at semicolons or tabs sees one quoted cell, not a second one with a formula.
    for (const golfer of ['a;=1+1', 'a\t=1+1', 'a|=1+1'])
      expect(tableCsv(table([{ golfer, change: 1 }]))).toMatch(/\n"'?a.=1\+1",1\n$/);
  });
  it('leaves numbers as they are, negative ones too', () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (change) => {
        const cell = tableCsv(table([{ golfer: 'G01', change }]))
          .trimEnd()
          .split(',')
          .at(-1);
        expect(Number(cell)).toBe(change === 0 ? 0 : change);
      }),
    );
  });
  it('reads back to the same texts by a CSV reader, less the mark of a guarded one', () => {
    fc.assert(
      fc.property(fc.array(anyText, { minLength: 1, maxLength: 5 }), (names) => {
        const text = tableCsv(table(names.map((golfer) => ({ golfer, change: 2 }))));
        const back = Papa.parse<string[]>(text, { newline: '\n' })
          .data.slice(1, -1)
          .map((row) => row[0] as string);
        for (const [k, name] of names.entries()) expect(textOfCell(back[k] as string)).toBe(name);
      }),
    );
  });
});
