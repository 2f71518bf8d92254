import type { DataColumns } from '../contract.ts';
import { columnsNamed } from '../design/columns-named.ts';
import type { Design } from '../design/design.ts';

/** The rows a design was built from, as columns: a model of the same columns fits them again. */
export function dataOf({ model, kept }: Design): DataColumns {
  return Object.fromEntries(
    columnsNamed(model).map(({ column, role }) => [
      column,
      role === 'text' || (role === 'number or factor' && kept.factor(column) !== null)
        ? kept.texts(column)
        : kept.numbers(column),
    ]),
  );
}
