import type { Table } from '../../../src/dataset/index.ts';

/** The first difference of two tables in columns, order or any bit of a cell; null where there is none. */
export function differenceOf(a: Table, b: Table): string | null {
  if (a.name !== b.name || a.length !== b.length)
    return `${a.name} with ${a.length} rows, ${b.name} with ${b.length}`;
  if (a.columnNames.join('\0') !== b.columnNames.join('\0'))
    return `${a.name}: columns ${a.columnNames.join()} and ${b.columnNames.join()}`;
  for (const column of a.columnNames) {
    const [one, other] = [a, b].map((table) =>
      table.stored(column)?.kind === 'text' ? table.text(column) : table.numbers(column),
    ) as unknown as [ArrayLike<unknown>, ArrayLike<unknown>];
    if (typeof one[0] !== typeof other[0] && one[0] !== null && other[0] !== null)
      return `${a.name}.${column}: another kind`;
    for (let row = 0; row < a.length; row += 1)
      if (!Object.is(one[row], other[row]))
        return `${a.name}.${column}, row ${row}: ${String(one[row])} and ${String(other[row])}`;
  }
  return null;
}
