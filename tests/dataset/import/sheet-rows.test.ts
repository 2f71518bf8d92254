import fc from 'fast-check';
import { expect, it } from 'vitest';
import type { SheetRow } from '../../../src/dataset/import/sheet.ts';
import { SheetRows } from '../../../src/dataset/import/sheet-rows.ts';
import { TextPool } from '../../../src/dataset/import/text-pool.ts';

const text = fc.oneof(
  fc.string({ unit: 'binary', maxLength: 20 }),
  fc.constantFrom('', 'a', '\0', '\uD800', 'x\uDC00y', '\u{1D11E}', 'z'.repeat(5_000_000)),
);
const kind = fc.constantFrom('text' as const, 'number' as const, 'date' as const, 'error' as const);

it('gives every text back as it was, once those that are kept once are full too', () => {
  const pool = new TextPool();
  const many = Array.from({ length: 200_000 }, (_, k) => `swing ${k} of a long name \u00E4\u{1D11E}`);
  const codes = many.map((one) => pool.add(one));
  fc.assert(
    fc.property(text, (one) => {
      expect(pool.text(pool.add(one)) === one).toBe(true);
    }),
    { numRuns: 500, seed: 8 },
  );
  expect(codes.every((code, k) => pool.text(code) === many[k])).toBe(true);
  expect(pool.add('')).toBe(0);
});

it('gives rows back as they were, in the order of their lines', () => {
  const row = fc
    .tuple(
      fc.integer({ min: 1, max: 50 }),
      fc.array(fc.tuple(fc.string({ maxLength: 3 }), kind), { maxLength: 6 }),
      fc.boolean(),
    )
    .map(
      ([line, cells, hidden]): SheetRow => ({
        line,
        hidden,
        cells: cells.map(([one]) => one),
        // An empty cell has no kind of its own.
        kinds: cells.map(([one, of]) => (one === '' ? 'text' : of)),
      }),
    );
  fc.assert(
    fc.property(fc.array(row, { maxLength: 30 }), (given) => {
      const rows = new SheetRows();
      for (const one of given) rows.push(one);
      rows.sort();
      const sorted = given.toSorted((a, b) => a.line - b.line);
      expect([...rows]).toEqual(sorted);
      expect(rows.length).toBe(given.length);
      sorted.forEach(({ line, cells, kinds, hidden }, index) => {
        expect([rows.line(index), rows.isHidden(index)]).toEqual([line, hidden]);
        for (let column = 0; column < 7; column += 1) {
          expect(rows.cell(index, column)).toBe(cells[column] ?? '');
          expect(rows.kind(index, column)).toBe(kinds?.[column] ?? 'text');
          const [cell] = rows.column(column, [index]);
          expect(cell).toEqual({ text: cells[column] ?? '', kind: kinds?.[column] ?? 'text' });
        }
      });
      expect(rows.from(25)).toBe(sorted.filter(({ line }) => line < 25).length);
    }),
    { numRuns: 300, seed: 8 },
  );
});
