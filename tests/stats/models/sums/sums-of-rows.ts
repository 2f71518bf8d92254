/**
 * The table of sums made from rows by plain loops, as any engine would make it: no line of it is shared with the code
 * under test but the list of columns. `centre` gives the constant that a number is taken less.
 */
import {
  type DataColumns,
  type Model,
  planSums,
  type SumsPlan,
  sumsColumns,
} from '../../../../src/stats/index.ts';

export function planOf(model: Model, factors: readonly string[] = []): SumsPlan {
  const planned = planSums(model, factors);
  if (!planned.ok) throw new Error(JSON.stringify(planned.problems));
  return planned.plan;
}

const missing = (entry: unknown) => entry === null || entry === '' || entry === 'NA' || Number.isNaN(entry);

export function sumsOfRows(
  plan: SumsPlan,
  data: DataColumns,
  centre: (column: string, row: number) => number = (column) => meanOf(data[column]!),
): Record<string, (number | string)[]> {
  const { model, keys, numbers, sums } = plan;
  const columns = sumsColumns(plan);
  const cells = new Map<string, Record<string, number | string>>();
  const length = data[model.outcome]!.length;
  const needed = [...keys, model.outcome, ...numbers];
  if (model.weights !== undefined) needed.push(model.weights);
  if (model.offset !== undefined) needed.push(model.offset);
  const centres = new Map<string, number>();
  const centreOf = (column: string, row: number) => {
    if (centre.length > 1) return centre(column, row);
    if (!centres.has(column)) centres.set(column, centre(column, row));
    return centres.get(column)!;
  };
  for (let row = 0; row < length; row++) {
    if (needed.some((column) => missing(data[column]![row]))) continue;
    const key = keys.map((column) => String(data[column]![row]));
    const id = JSON.stringify(key);
    let cell = cells.get(id);
    if (!cell) {
      cell = Object.fromEntries(columns.map(({ name }) => [name, 0]));
      key.forEach((level, k) => {
        cell![`key_${k + 1}`] = level;
      });
      cells.set(id, cell);
    }
    const add = (name: string, value: number) => {
      cell![name] = (cell![name] as number) + value;
    };
    const weight = model.weights === undefined ? 1 : Number(data[model.weights]![row]);
    const offset = model.offset === undefined ? 0 : Number(data[model.offset]![row]);
    const centred = [...numbers, model.outcome].map((column, k) => {
      const c = centreOf(column, row);
      cell![`centre_${k + 1}`] = c;
      return Number(data[column]![row]) - (k === numbers.length ? offset : 0) - c;
    });
    add('row_count', 1);
    if (model.weights !== undefined) add('log_weights', Math.log(weight));
    for (const k of plan.averaged) add(`plain_${k + 1}`, centred[k]!);
    sums.forEach((exponents, s) => {
      if (s === 0 && model.weights === undefined) return;
      add(
        `sum_${s}`,
        exponents.reduce((value, power, k) => value * centred[k]! ** power, weight),
      );
    });
  }
  const rows = [...cells.values()];
  return Object.fromEntries(columns.map(({ name }) => [name, rows.map((row) => row[name]!)]));
}

export function meanOf(column: DataColumns[string]): number {
  const numbers = Array.from(column, (entry) => (missing(entry) ? Number.NaN : Number(entry))).filter(
    (value) => Number.isFinite(value),
  );
  return numbers.reduce((sum, value) => sum + value, 0) / Math.max(1, numbers.length);
}
