/**
 * Names under which columns stand in a Parquet file: their own, but for one that differs from an earlier one only by
 * case, which an SQL engine takes for the same; it gets a number.
 */
export function parquetNames(columns: readonly string[]): readonly string[] {
  const taken = new Set(columns.map((name) => name.toLowerCase()));
  const seen = new Set<string>();
  return columns.map((name) => {
    let free = name;
    if (seen.has(name.toLowerCase()))
      for (let k = 1; taken.has(free.toLowerCase()); k += 1) free = `${name}_${k}`;
    seen.add(free.toLowerCase());
    taken.add(free.toLowerCase());
    return free;
  });
}
