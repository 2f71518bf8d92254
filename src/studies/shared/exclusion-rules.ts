import type { Dataset, ExclusionRule, Plan } from '../../dataset/index.ts';

/** The rows that the plan's rules leave out, with each rule's reason: ids of golfers, sessions and swings. */
export function excludedByRules(
  dataset: Dataset,
  plan: Plan | null,
): { readonly table: ExclusionRule['table']; readonly id: string; readonly reason: string }[] {
  return (plan?.exclusionRules ?? []).flatMap((rule) => {
    const { table, reason } = rule;
    const ids = idsOf(dataset, table);
    const holds = testOf(dataset, rule);
    return ids.flatMap((id, row) => (id !== null && holds(row) ? [{ table, id, reason }] : []));
  });
}

function idsOf({ tables }: Dataset, table: ExclusionRule['table']): readonly (string | null)[] {
  if (table === 'golfers') return tables.golfers.column('golfer_id');
  if (table === 'sessions') return tables.sessions.column('session_id');
  return tables.swings.column('swing_id');
}

/** Whether the rule holds for a row. A row without a value is left out by `missing` alone. */
function testOf({ tables }: Dataset, rule: ExclusionRule): (row: number) => boolean {
  const { column, is, below, above, missing } = rule;
  const table = tables[rule.table];
  const stored = table.stored(column);
  if (stored === undefined) return () => missing === true;
  if (stored.kind === 'text') {
    const texts = table.text(column);
    return (row) => (missing ? texts[row] === null : texts[row] === is);
  }
  const { values } = stored;
  if (missing) return (row) => Number.isNaN(values[row]);
  if (below !== undefined) return (row) => values[row]! < below;
  if (above !== undefined) return (row) => values[row]! > above;
  return (row) => values[row] === Number(is);
}
