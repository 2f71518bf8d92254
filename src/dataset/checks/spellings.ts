import type { Problem } from '../problem.ts';
import { folded } from '../read/nearest.ts';
import { tableSchema } from '../schema.ts';
import type { Table } from '../table.ts';

/** Columns in which two spellings of one word make two golfers, or two arms, out of one. */
const MUST_BE_ONE: ReadonlySet<string> = new Set([
  'golfers.golfer_id',
  'instructors.instructor_id',
  'assignments.trial_id',
  'assignments.arm',
]);

/** Words of one column that differ only by case, spaces, dashes or invisible characters. */
export function checkSpellings(table: Table): Problem[] {
  return tableSchema(table.name).fields.flatMap((field) => {
    const stored = table.stored(field.name);
    // A file path or a hash may differ by case; a date and an enumerated word are checked elsewhere.
    if (stored?.kind !== 'text' || field.type === 'date' || field.constraints?.enum) return [];
    if (table.name === 'captures' || field.name === 'swing_id' || field.name === 'session_id') return [];
    const firstBy = new Map<string, number>();
    const twin = stored.levels.map((text, code) => {
      const key = folded(text);
      const first = firstBy.get(key);
      if (first === undefined) firstBy.set(key, code);
      return first;
    });
    if (twin.every((first) => first === undefined)) return [];
    const rowOf = new Map<number, number>();
    stored.codes.forEach((code, index) => {
      if (code >= 0 && !rowOf.has(code)) rowOf.set(code, index);
    });
    return twin.flatMap((first, code): Problem[] => {
      if (first === undefined) return [];
      const other = stored.levels[first]!;
      return [
        {
          kind: 'duplicate-key',
          severity: MUST_BE_ONE.has(`${table.name}.${field.name}`) ? 'error' : 'warning',
          table: table.name,
          row: table.line(rowOf.get(code)!),
          column: field.name,
          found: stored.levels[code]!,
          expected: `one spelling; '${other}' stands on line ${table.line(rowOf.get(first)!)}`,
          remedy: `If both mean the same, write ${other} everywhere; if not, make them differ by more than case, spaces or dashes.`,
        },
      ];
    });
  });
}
