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

/** The skills of the population, each with its share. */
export type SkillDistribution = readonly { readonly skill: number; readonly share: number }[];

/** The distribution of skill: one entry for each handicap to one decimal (midpoint rule over 4000 equal shares). */
export function skillDistribution(roster: Roster): SkillDistribution {
  const steps = 4000;
  const shares = new Map<number, number>();
  for (let i = 0; i < steps; i++) {
    const skill = skillOf(roster, handicapAt(roster, (i + 0.5) / steps));
    shares.set(skill, (shares.get(skill) ?? 0) + 1 / steps);
  }
  return [...shares].map(([skill, share]) => ({ skill, share }));
}

/** The mean over the population of something that depends on skill. */
export function meanOverSkill(distribution: SkillDistribution, value: (skill: number) => number): number {
  return distribution.reduce((sum, { skill, share }) => sum + share * value(skill), 0);
}
