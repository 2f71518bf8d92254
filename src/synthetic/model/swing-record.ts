import type { Recipe } from '../recipe/recipe.ts';
import { CURVED_COLUMNS, MODELLED_METRICS, SUM_COLUMNS } from './modelled-metrics.ts';

/** A row of the table swings while it is being filled: null where missing. */
export interface SwingRecord {
  swing_id: string;
  session_id: string;
  order_in_session: number;
  task: 'full' | 'drill';
  club: string;
  speed_intent_pct: number;
  [column: string]: string | number | boolean | null;
}

const NO_COLUMN: readonly string[] = ['lag_gain_deg', 'strike_offset_mm'];

/**
 * A maker of empty rows with every column a recipe fills. Copying one object that came out of JSON.parse keeps
 * the rows in the engine's fast layout; adding forty columns one by one would not, and costs most of the time.
 */
export function swingRecords(recipe: Recipe): () => SwingRecord {
  const metrics = MODELLED_METRICS.filter((metric) => !NO_COLUMN.includes(metric));
  const columns = [
    ...['swing_id', 'session_id', 'order_in_session', 'task', 'club', 'speed_intent_pct'],
    ...metrics,
    ...metrics.filter((metric) => recipe.metrics[metric].reportSd === true).map((metric) => `${metric}_sd`),
    ...Object.keys(SUM_COLUMNS),
    ...CURVED_COLUMNS,
  ];
  const empty = JSON.parse(JSON.stringify(Object.fromEntries(columns.map((column) => [column, null]))));
  return () => ({ ...empty }) as SwingRecord;
}
