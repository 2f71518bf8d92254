import type { DataColumns, ModelProblem } from '../contract.ts';
import { type NumberReading, readColumn } from '../design/data-column.ts';
import type { SumsPlan } from './plan-sums.ts';
import { reasonsToLeaveOut, type SumsColumn, sumsColumns } from './sums-columns.ts';

/** The sums of the cells whose rows are used. */
export interface CellSums {
  readonly cells: number;
  /** For each key of the plan the entry of each cell, as the table has it. */
  readonly keys: readonly DataColumns[string][];
  readonly counts: Float64Array;
  readonly logWeights: Float64Array;
  /** For each number of the plan, and the outcome last. */
  readonly centres: readonly Float64Array[];
  /** By place in the plan's `numbers`. */
  readonly plain: ReadonlyMap<number, Float64Array>;
  /** In the order of the plan's `sums`. */
  readonly sums: readonly Float64Array[];
  readonly leftOut: readonly { readonly why: string; readonly rows: number }[];
}

/** Faults of one kind that are told one by one. */
const TOLD = 5;

/**
 * Reads a table of sums (columns as `sumsColumns` lists them, one row for each cell, in any order), or says, all at
 * once, what is wrong with it. Whether the sums of a cell agree with each other shows later, when they are used.
 */
export function readSums(plan: SumsPlan, table: DataColumns): CellSums | readonly ModelProblem[] {
  const columns = sumsColumns(plan);
  const problems: ModelProblem[] = [];
  for (const { name, meaning } of columns)
    if (!Object.hasOwn(table, name))
      problems.push({
        kind: 'unknown-column',
        where: name,
        found: 'a table of sums without this column',
        expected: meaning,
        remedy: 'Make the table with the query that is printed for this model.',
      });
  if (problems.length > 0) return problems;
  const entries = table.row_count!.length;
  const uneven = columns.filter(({ name }) => table[name]!.length !== entries);
  if (uneven.length > 0)
    return uneven.map(({ name }) => ({
      kind: 'bad-model',
      where: name,
      found: `${table[name]!.length} entries`,
      expected: `${entries}, as many as row_count has`,
      remedy: 'Hand in columns of equal length.',
    }));

  const readings = new Map(
    columns
      .filter(({ kind }) => kind !== 'key')
      .map(({ name }) => [name, readColumn(table, name).asNumbers()] as const),
  );
  const reasons = reasonsToLeaveOut(plan);
  const { numbers: reason } = readings.get('left_out')!;
  const { numbers: rows } = readings.get('row_count')!;
  const tell = (name: string, faulty: (entry: number) => boolean, expected: string, remedy: string) => {
    let count = 0;
    for (let entry = 0; entry < entries; entry++) {
      if (!faulty(entry)) continue;
      if (count++ < TOLD)
        problems.push({
          kind: 'not-a-number',
          where: name,
          found: `${table[name]![entry] ?? 'nothing'} in row ${entry + 1} of the table`,
          expected,
          remedy,
        });
    }
    if (count > TOLD) problems.push({ ...problems.at(-1)!, found: `as much in ${count - TOLD} more rows` });
  };
  tell(
    'row_count',
    (entry) => !(Number.isSafeInteger(rows[entry]!) && rows[entry]! > 0),
    'a whole number above zero',
    'Make the table again: each of its rows counts the rows of one cell.',
  );
  tell(
    'left_out',
    (entry) =>
      !(Number.isSafeInteger(reason[entry]!) && reason[entry]! >= 0 && reason[entry]! <= reasons.length),
    `a whole number from 0 to ${reasons.length}`,
    'Make the table with the query that is printed for this model.',
  );
  const used = (entry: number) => reason[entry] === 0;
  for (const { name, kind } of columns)
    if (kind !== 'key' && kind !== 'rows' && kind !== 'left out') {
      const { numbers } = readings.get(name)!;
      tell(
        name,
        (entry) => used(entry) && !Number.isFinite(numbers[entry]!),
        'a finite number in every row that is used',
        'Look for numbers too large to be multiplied with each other, or change the unit of the column.',
      );
    }
  const keyColumns = columns.filter(({ kind }) => kind === 'key');
  problems.push(...repeatedCells(table, keyColumns, entries, used));
  if (problems.length > 0) return problems;

  const kept = Array.from({ length: entries }, (_, entry) => entry).filter(used);
  const pick = (reading: NumberReading) => Float64Array.from(kept, (entry) => reading.numbers[entry]!);
  const of = (kind: SumsColumn['kind']) => columns.filter((column) => column.kind === kind);
  const counts = pick(readings.get('row_count')!);
  const bySum = new Map(of('sum').map(({ name, place }) => [place, pick(readings.get(name)!)]));
  return {
    cells: kept.length,
    keys: keyColumns.map(({ name }) => kept.map((entry) => table[name]![entry]!)),
    counts,
    logWeights: readings.has('log_weights')
      ? pick(readings.get('log_weights')!)
      : new Float64Array(kept.length),
    centres: of('centre').map(({ name }) => pick(readings.get(name)!)),
    plain: new Map(of('plain sum').map(({ name, place }) => [place, pick(readings.get(name)!)])),
    sums: plan.sums.map((_, s) => bySum.get(s) ?? counts),
    leftOut: reasons.flatMap(({ why }, r) => {
      let count = 0;
      for (let entry = 0; entry < entries; entry++) if (reason[entry] === r + 1) count += rows[entry]!;
      return count === 0 ? [] : [{ why, rows: count }];
    }),
  };
}

/** Cells that the table holds more than once: two tables put one under the other, or the wrong grouping. */
function repeatedCells(
  table: DataColumns,
  keys: readonly SumsColumn[],
  entries: number,
  used: (entry: number) => boolean,
): ModelProblem[] {
  const codes = keys.map(({ name }) => readColumn(table, name).asCodes());
  const first = new Map<string, number>();
  const found: string[] = [];
  for (let entry = 0; entry < entries; entry++) {
    if (!used(entry)) continue;
    const cell = codes.map(({ at }) => at[entry]).join(' ');
    const before = first.get(cell);
    if (before === undefined) first.set(cell, entry);
    else found.push(`rows ${before + 1} and ${entry + 1}`);
  }
  if (found.length === 0) return [];
  return [
    {
      kind: 'bad-model',
      where: keys.map(({ name }) => name).join(', ') || '/',
      found: `the same cell in ${found.slice(0, TOLD).join('; ')}${found.length > TOLD ? ` (and ${found.length - TOLD} more)` : ''}`,
      expected: 'each cell once',
      remedy:
        'Add up tables of the same groups before, all with the same centres, or give their groups names of their own.',
    },
  ];
}
