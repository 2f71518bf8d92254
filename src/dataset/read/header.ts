import type { TableName } from '../generated/rows.ts';
import type { Problem } from '../problem.ts';
import { isRequired, tableSchema } from '../schema.ts';
import { nearest } from './nearest.ts';

/** Names that mean something to the machine that runs us; a column must not carry them. */
const RESERVED: ReadonlySet<string> = new Set(['__proto__', 'constructor', 'prototype']);

/**
 * Checks a header. `columns` has the name under which each position is kept, or null where it cannot be
 * kept (no name, a name that came before, a reserved name).
 */
export function checkHeader(
  table: TableName,
  header: readonly string[],
): { readonly columns: readonly (string | null)[]; readonly problems: readonly Problem[] } {
  const schema = tableSchema(table);
  const known = new Set(schema.fields.map((field) => field.name));
  const absent = schema.fields.map((field) => field.name).filter((name) => !header.includes(name));
  const at = { table, row: 1 } as const;
  const problems: Problem[] = [];
  const seen = new Set<string>();
  const renamed = new Set<string>();
  const columns = header.map((name, index) => {
    if (name.trim() === '') return null;
    if (seen.has(name)) {
      problems.push({
        ...at,
        kind: 'duplicate-column',
        severity: 'error',
        column: name,
        found: `${name} again, in column ${index + 1}`,
        expected: 'each column once',
        remedy: 'Take one of the two columns away, or give it another name.',
      });
      return null;
    }
    seen.add(name);
    if (known.has(name)) return name;
    const meant = nearest(
      name,
      absent.filter((column) => column.endsWith('_sd') === name.endsWith('_sd')),
    );
    if (meant !== null) renamed.add(meant);
    problems.push(unknownColumn(table, name, meant));
    return RESERVED.has(name) ? null : name;
  });
  for (const field of schema.fields)
    if (isRequired(field) && !seen.has(field.name) && !renamed.has(field.name))
      problems.push({
        ...at,
        row: null,
        kind: 'missing-column',
        severity: 'error',
        column: field.name,
        found: `no column ${field.name}`,
        expected: `a column ${field.name}: ${field.description}`,
        remedy: `Add the column ${field.name} to ${table}.csv and fill it in.`,
      });
  return { columns, problems };
}

function unknownColumn(table: TableName, name: string, meant: string | null): Problem {
  const at = { kind: 'unknown-column', table, row: 1, column: name, found: name } as const;
  if (RESERVED.has(name))
    return {
      ...at,
      severity: 'error',
      expected: 'a name that programs do not keep for themselves',
      remedy: 'Give the column another name.',
    };
  if (meant === null)
    return {
      ...at,
      severity: 'warning',
      expected: 'a column of the data dictionary',
      remedy:
        'It is kept and not used. If it is meant to be used, give it its name from the data dictionary.',
    };
  const field = tableSchema(table).fields.find((candidate) => candidate.name === meant);
  const required = field !== undefined && isRequired(field);
  return {
    ...at,
    kind: required ? 'missing-column' : 'unknown-column',
    severity: required ? 'error' : 'warning',
    column: meant,
    expected: `${meant}, letter for letter`,
    remedy: `Write the name of the column as ${meant}.`,
  };
}
