import type { TableName } from './generated/rows.ts';
import { type FieldSchema, type TableSchema, tableSchema } from './schema.ts';

/** What the descriptor of a package says beyond its tables. */
export interface DescriptorOptions {
  readonly title?: string;
  readonly description?: string;
  /** Further resources, described as they are to stand beside the tables. */
  readonly resources?: readonly Readonly<Record<string, unknown>>[];
}

/** What a dataset's tables are made of, as the descriptor states it. */
export interface DescribedTable {
  readonly name: TableName;
  readonly columns: readonly string[];
}

/**
 * The datapackage.json of a dataset (Data Package standard, version 2): the tables it has and, for each,
 * the schema of the columns it has. A foreign key to a table that is not there is left out.
 *
 * Source: Data Package v2, https://datapackage.org/standard/data-package/
 *
 * @example
 * const descriptor = packageDescriptor([{ name: 'golfers', columns: ['golfer_id', 'plays'] }], { title: 'My roster' });
 * descriptor // { title: 'My roster', resources: [{ name: 'golfers', path: 'golfers.csv', ... }], ... }
 */
export function packageDescriptor(
  tables: readonly DescribedTable[],
  options: DescriptorOptions = {},
): Readonly<Record<string, unknown>> {
  const present = new Set(tables.map(({ name }) => name));
  return {
    $schema: 'https://datapackage.org/profiles/2.0/datapackage.json',
    name: 'swing-dataset',
    ...(options.title === undefined ? {} : { title: options.title }),
    ...(options.description === undefined ? {} : { description: options.description }),
    resources: [
      ...tables.map(({ name, columns }) => ({
        $schema: 'https://datapackage.org/profiles/2.0/dataresource.json',
        name,
        type: 'table',
        path: `${name}.csv`,
        title: tableSchema(name).title,
        description: tableSchema(name).description,
        format: 'csv',
        mediatype: 'text/csv',
        encoding: 'utf-8',
        schema: schemaOf(tableSchema(name), columns, present),
      })),
      ...(options.resources ?? []),
    ],
  };
}

function schemaOf(schema: TableSchema, columns: readonly string[], present: ReadonlySet<TableName>): object {
  const fields = new Map(schema.fields.map((field) => [field.name, field]));
  const foreignKeys = (schema.foreignKeys ?? []).filter(
    ({ fields: [column], reference }) => present.has(reference.resource) && columns.includes(column ?? ''),
  );
  return {
    $schema: 'https://datapackage.org/profiles/2.0/tableschema.json',
    fields: columns.map((column) => {
      const field = fields.get(column);
      return field === undefined ? { name: column, type: 'string' } : standardField(field);
    }),
    missingValues: schema.missingValues,
    ...(schema.primaryKey === undefined ? {} : { primaryKey: schema.primaryKey }),
    ...(foreignKeys.length === 0 ? {} : { foreignKeys }),
  };
}

/** A field without the properties that only our own checks read. */
function standardField(field: FieldSchema): object {
  const {
    plausible: _plausible,
    suspect: _suspect,
    knownValues: _known,
    explicitPlus: _plus,
    ...standard
  } = field;
  return standard;
}

/** A descriptor as the text of datapackage.json. */
export function descriptorText(descriptor: Readonly<Record<string, unknown>>): string {
  return `${JSON.stringify(descriptor, null, 2)}\n`;
}
