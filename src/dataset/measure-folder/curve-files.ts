import { csvLine } from '../csv-write.ts';
import { CURVE_INSTANTS_FILE, CURVES_FILE } from '../curves/curve-set.ts';
import type { Ending } from './ending.ts';

/** curves.csv and curve-instants.csv of the swings that have curves; neither where none has. */
export function curveFiles(endings: readonly Ending[]): ReadonlyMap<string, string> {
  const samples = [csvLine(['swing_id', 'quantity', 'time_pct', 'value_deg'])];
  const instants = [csvLine(['swing_id', 'instant', 'time_pct'])];
  for (const { task, result } of endings) {
    // A log of an earlier version of the package has no curves.
    if (result.status !== 'measured' || !result.curves) continue;
    const swing = task.cells?.get('swing_id') ?? '';
    for (const [quantity, values] of Object.entries(result.curves.values))
      for (const [pct, value] of values.entries())
        samples.push(csvLine([swing, quantity, String(pct), String(value)]));
    for (const [instant, pct] of Object.entries(result.curves.instants_pct))
      instants.push(csvLine([swing, instant, String(pct)]));
  }
  const files = new Map<string, string>();
  if (samples.length > 1) files.set(CURVES_FILE, samples.join(''));
  if (instants.length > 1) files.set(CURVE_INSTANTS_FILE, instants.join(''));
  return files;
}
