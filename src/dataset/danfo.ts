import type { TableName } from './generated/rows.ts';
import { type PlainKind, plainColumns, tableFromPlain } from './plain-columns.ts';
import type { Table } from './table.ts';

/** A data frame of danfojs-node, as far as it is used here. */
export interface DataFrame {
  readonly columns: readonly string[];
  readonly index: readonly unknown[];
  column(name: string): { readonly values: ArrayLike<unknown> };
}

/** The module danfojs-node (1.2.0), as far as it is used here; any other types of it fit too. */
export interface DataFrameModule {
  readonly DataFrame: new (
    rows: never,
    options: { readonly columns: string[]; readonly dtypes: string[] },
  ) => unknown;
}

const PACKAGE = 'danfojs-node';

/**
 * Loads danfojs-node, which is not installed with this package: about 340 MB that a coach does not need.
 *
 * @throws Error, with what to install, when it is not there
 * @example const frame = toDataFrame(dataset.tables.swings, await loadDanfo())
 */
export async function loadDanfo(): Promise<DataFrameModule> {
  try {
    return (await import(PACKAGE)) as DataFrameModule;
  } catch (error) {
    throw new Error(
      `loadDanfo: ${PACKAGE} is not installed. Put "overrides": { "@tensorflow/tfjs-node": "npm:@tensorflow/tfjs@^3.21.0", "xlsx": "npm:xlsx@0.18.5" } into your package.json, then run npm install ${PACKAGE}@1.2.0.`,
      { cause: error },
    );
  }
}

const DTYPES = { text: 'string', number: 'float32', 'yes-no': 'boolean' } as const satisfies Record<
  PlainKind,
  string
>;

/**
 * A table as a data frame: the columns it came with, in order; numbers with NaN where missing, texts and dates as text and
 * yes/no as true and false with null where missing. The frame calls numbers `float32` and keeps all their digits.
 *
 * @throws Error when a column has a name that the frame uses for itself, such as `shape`
 * @example toDataFrame(dataset.tables.swings, await loadDanfo()) // a DataFrame of danfojs-node
 */
export function toDataFrame<Frame = DataFrame>(table: Table, danfo: DataFrameModule): Frame {
  const columns = plainColumns(table);
  const bare = new danfo.DataFrame([] as never, { columns: [], dtypes: [] }) as object;
  for (const { name } of columns)
    if (name in bare)
      throw new Error(
        `toDataFrame: a data frame has something of its own by the name '${name}'. Rename the column of ${table.name} before.`,
      );
  const rows = Array.from({ length: table.length }, (_, row) => columns.map(({ values }) => values[row]));
  return new danfo.DataFrame(rows as never, {
    columns: columns.map(({ name }) => name),
    dtypes: columns.map(({ kind }) => DTYPES[kind]),
  }) as Frame;
}

/**
 * A data frame as a table, by the schema of that name; the inverse of {@link toDataFrame}. The frame's index is put aside.
 *
 * @throws Error when a cell is of another kind than the schema has, with its column and row
 * @example fromDataFrame('swings', frame).numbers('club_speed_mps')
 */
export function fromDataFrame<Name extends TableName>(name: Name, frame: DataFrame): Table<Name> {
  const columns = frame.columns.map((column) => ({ name: column, values: frame.column(column).values }));
  return tableFromPlain(name, columns, frame.index.length);
}
