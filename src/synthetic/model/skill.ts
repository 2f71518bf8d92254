import { normalLower, normalQuantile } from '../../numerics/index.ts';
import type { Recipe } from '../recipe/recipe.ts';

type Roster = Recipe['roster'];

/** The handicap below which a share u of the golfers lies: a normal distribution cut at both ends, to one decimal. */
export function handicapAt(roster: Roster, u: number): number {
  const { mean, sd, lowest, highest } = roster.handicap;
  const from = normalLower((lowest - mean) / sd);
  const to = normalLower((highest - mean) / sd);
  return Math.round(10 * (mean + sd * normalQuantile(from + u * (to - from)))) / 10 + 0;
}

/** Where a handicap lies on the scale from less skilled (0) to skilled (1), the ends included. */
export function skillOf(roster: Roster, handicap: number): number {
  const { skilledHandicap, lessSkilledHandicap } = roster;
  const skill = (lessSkilledHandicap - handicap) / (lessSkilledHandicap - skilledHandicap);
  return Math.min(1, Math.max(0, skill));
}

/** The mean over the population of golfers of something that depends on skill (midpoint rule over 4000 equal shares). */
export function meanOverSkill(roster: Roster, value: (skill: number) => number): number {
  const shares = 4000;
  let sum = 0;
  for (let i = 0; i < shares; i++) sum += value(skillOf(roster, handicapAt(roster, (i + 0.5) / shares)));
  return sum / shares;
}
