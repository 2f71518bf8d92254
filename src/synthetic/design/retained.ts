import type { Visit } from '../recipe/recipe.ts';

/** What is left of drill and practice, as shares of what had taken hold at post. */
export interface Retained {
  readonly drill: number;
  readonly practice: number;
}

/**
 * What is left at a retention visit: it falls off exponentially from the last visit before retention on, through the recipe's shares at
 * the first retention visit. Planned days count.
 *
 * @example
 * const visits = [{ phase: 'post', day: 56 }, { phase: 'retention', day: 112 }];
 * retainedAt(visits, 168, { drill: 0.7, practice: 0.8 }) // { drill: 0.49, practice: 0.64 }: twice as late as the first
 */
export function retainedAt(visits: readonly Visit[], day: number, retained: Retained): Retained {
  const first = visits.find(({ phase }) => phase === 'retention');
  if (first === undefined) return retained;
  const before = Math.max(...visits.filter(({ phase }) => phase !== 'retention').map((visit) => visit.day));
  const times = (day - before) / (first.day - before);
  return { drill: retained.drill ** times, practice: retained.practice ** times };
}
