import type { Dataset } from '../../dataset/index.ts';
import { median, robustDistances } from '../../stats/index.ts';
import { numbersOrMissing } from '../shared/roster.ts';
import type { SpecificationOption } from './choice.ts';

/** Robust SDs beyond which a swing counts as far from the others of its session (Iglewicz and Hoaglin 1993). */
const FAR = 3.5;
const WARM_UP = 2;
const FEWEST = 3;

/** The rules by which swings may be left out, the first being none. */
export const SWING_RULES: readonly SpecificationOption[] = [
  { key: 'all', words: 'every swing' },
  {
    key: 'no-far-swings',
    words: `without far swings (over ${FAR} robust SDs)`,
    keep: withoutFarSwings,
  },
  {
    key: 'no-warm-up',
    words: `without the first ${WARM_UP} swings of a session`,
    keep: (dataset) => {
      const orders = dataset.tables.swings.column('order_in_session');
      return (index) => !(orders[index]! <= WARM_UP);
    },
  },
  {
    key: 'full-sessions',
    words: `only sessions of ${FEWEST} or more full swings`,
    keep: (dataset, column) => {
      const full = new Map<string, number>();
      const values = numbersOrMissing(dataset, column);
      const sessions = dataset.tables.swings.column('session_id');
      const tasks = dataset.tables.swings.column('task');
      sessions.forEach((session, index) => {
        if (session !== null && tasks[index] === 'full' && values[index] !== null)
          full.set(session, (full.get(session) ?? 0) + 1);
      });
      return (index) => (full.get(sessions[index] ?? '') ?? 0) >= FEWEST;
    },
  },
];

/** Distances are in robust SDs pooled over all sessions, so that a session of few swings is not its own judge. */
function withoutFarSwings(dataset: Dataset, column: string): (index: number) => boolean {
  const values = numbersOrMissing(dataset, column);
  const { swings } = dataset.tables;
  const tasks = swings.column('task');
  const sessions = new Map<string, number[]>();
  swings.column('session_id').forEach((session, index) => {
    if (values[index] === null) return;
    const key = JSON.stringify([session, tasks[index]]);
    const own = sessions.get(key);
    if (own === undefined) sessions.set(key, [index]);
    else own.push(index);
  });
  const residuals = [...sessions.values()]
    .filter((own) => own.length >= FEWEST)
    .flatMap((own) => {
      const centre = median(own.map((index) => values[index]!))!;
      return own.map((index) => ({ index, value: values[index]! - centre }));
    });
  const distances = robustDistances(residuals.map(({ value }) => value)) ?? [];
  const far = new Set(
    residuals.filter((_, i) => Math.abs(distances[i] ?? 0) > FAR).map(({ index }) => index),
  );
  return (index) => !far.has(index);
}
