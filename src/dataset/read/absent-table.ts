import type { TableName } from '../generated/rows.ts';
import type { Problem } from '../problem.ts';
import { REQUIRED_TABLES } from '../schema.ts';
import { faultOf, fileInside, namedAndAbsent } from './inside.ts';

/**
 * What it comes to that datapackage.json names a table whose file is not there: for whoever checks, packs, unpacks or queries a
 * folder alike. Nobody need keep a table that no question asks of, so it is a warning, and the table is one without rows; but
 * it is an error of a table that every question needs, and where a file of the table's own name lies elsewhere in the folder,
 * since its rows would be passed over without a word.
 */
export async function absentTable(root: string, table: TableName, path: string): Promise<Problem> {
  const fault = faultOf(table, namedAndAbsent(path, table));
  if (REQUIRED_TABLES.includes(table)) return fault;
  const own = `${table}.csv`;
  if (path !== own && !('absent' in (await fileInside(root, own)))) return fault;
  return {
    ...fault,
    severity: 'warning',
    remedy: `It is taken as a table without rows, and whatever needs it says so. Add the file, or take ${table} out of datapackage.json.`,
  };
}
