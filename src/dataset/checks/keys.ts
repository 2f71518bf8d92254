import type { TableName } from '../generated/rows.ts';
import type { Problem } from '../problem.ts';
import { sameId } from '../read/nearest.ts';
import { hashWith, RowsByHash } from '../rows-by-hash.ts';
import { type ForeignKey, tableSchema } from '../schema.ts';
import type { Table } from '../table.ts';

/** Rows that carry a key which an earlier row has. */
export function checkPrimaryKey(table: Table): Problem[] {
  const key = tableSchema(table.name).primaryKey;
  if (key === undefined || isDistinct(table, key)) return [];
  const columns = key.map((column) => table.text(column));
  const firstLine = new Map<string, number>();
  const problems: Problem[] = [];
  for (let index = 0; index < table.length; index += 1) {
    const parts = columns.map((column) => column[index] ?? null);
    if (parts.some((part) => part === null)) continue;
    const value = parts.length === 1 ? parts[0]! : JSON.stringify(parts);
    const first = firstLine.get(value);
    if (first === undefined) firstLine.set(value, table.line(index));
    else problems.push(duplicate(table, index, key, parts.join(', '), first));
  }
  return problems;
}

/** Whether a key of one column has no text twice, which the codes of the column tell without its texts. */
function isDistinct(table: Table, key: readonly string[]): boolean {
  const stored = key.length === 1 ? table.stored(key[0]!) : undefined;
  if (stored?.kind !== 'text') return false;
  const seen = new Uint8Array(stored.levels.length);
  for (const code of stored.codes) {
    if (code < 0) continue;
    if (seen[code] === 1) return false;
    seen[code] = 1;
  }
  return true;
}

function duplicate(
  table: Table,
  index: number,
  key: readonly string[],
  found: string,
  first: number,
): Problem {
  return {
    kind: 'duplicate-key',
    severity: 'error',
    table: table.name,
    row: table.line(index),
    column: key[0]!,
    found,
    expected: `each ${key.join(' with ')} once; it stands on line ${first} already`,
    remedy: `If the two rows are the same ${singular(table.name)}, take one away; if not, give this one an id of its own.`,
  };
}

const singular = (name: TableName) => name.replace(/s$/, '');

/** Rows that refer to a row that another table does not have. */
export function checkForeignKeys(table: Table, tables: ReadonlyMap<TableName, Table>): Problem[] {
  const keys = tableSchema(table.name).foreignKeys ?? [];
  return keys.flatMap((key) => {
    const parent = tables.get(key.reference.resource);
    return parent === undefined ? [] : orphans(table, key, parent);
  });
}

function orphans(table: Table, key: ForeignKey, parent: Table): Problem[] {
  const column = key.fields[0]!;
  const stored = table.stored(column);
  const parentStored = parent.stored(key.reference.fields[0]!);
  if (stored?.kind !== 'text' || parentStored?.kind !== 'text') return [];
  const known = new Set(parentStored.levels);
  const absent = stored.levels.map((id) => !known.has(id));
  if (!absent.includes(true)) return [];
  // A search for what was meant is only worth while (and only quick) in a roster, not in a million swings.
  const candidates = known.size <= 2000 ? known : new Set<string>();
  const remedies = stored.levels.map((id, code) => (absent[code] ? remedyFor(id, candidates, parent) : ''));
  const problems: Problem[] = [];
  stored.codes.forEach((code, index) => {
    if (code < 0 || !absent[code]) return;
    problems.push({
      kind: 'unknown-key',
      severity: 'error',
      table: table.name,
      row: table.line(index),
      column,
      found: stored.levels[code]!,
      expected: `a ${key.reference.fields[0]} that stands in ${parent.name}.csv`,
      remedy: remedies[code]!,
    });
  });
  return problems;
}

function remedyFor(id: string, known: ReadonlySet<string>, parent: Table): string {
  const meant = sameId(id, known);
  const add = `add a row for it to ${parent.name}.csv`;
  return meant === null
    ? `Correct the id, or ${add}.`
    : `Write ${meant}, if that is what is meant; otherwise ${add}.`;
}

/** The largest order that the schema allows. */
const MOST_IN_SESSION = 100_000;

/** Two swings in the same place of the same session: most likely one of them was copied. */
export function checkSwingOrder(swings: Table<'swings'>): Problem[] {
  const [session, task] = [swings.stored('session_id'), swings.stored('task')];
  if (session?.kind !== 'text' || task?.kind !== 'text') return [];
  const order = swings.numbers('order_in_session');
  const before = new RowsByHash(swings.length);
  const problems: Problem[] = [];
  for (let index = 0; index < swings.length; index += 1) {
    const [inSession, ofTask, nth] = [session.codes[index]!, task.codes[index]!, order[index]!];
    if (inSession < 0 || ofTask < 0 || !Number.isInteger(nth) || nth < 1 || nth > MOST_IN_SESSION) continue;
    const hash = hashWith(hashWith(hashWith(17, inSession), ofTask), nth);
    const first = before.find(
      hash,
      (row) => session.codes[row] === inSession && task.codes[row] === ofTask && order[row] === nth,
    );
    if (first < 0) before.add(hash, index);
    else
      problems.push({
        kind: 'duplicate-key',
        severity: 'warning',
        table: 'swings',
        row: swings.line(index),
        column: 'order_in_session',
        found: String(order[index]),
        expected: `each order once in a session; line ${swings.line(first)} has it already`,
        remedy: 'If the row was copied by mistake, take it away; if not, correct the order.',
      });
  }
  return problems;
}
