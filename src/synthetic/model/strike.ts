import { normalLower, normalUpper, type Stream } from '../../numerics/index.ts';
import type { Recipe } from '../recipe/recipe.ts';

const RADIANS = Math.PI / 180;

/** What decides a strike: true values, before measurement. */
export interface Delivery {
  readonly shaftLeanDeg: number;
  readonly attackAngleDeg: number;
  readonly clubSpeedMps: number;
  readonly strikeOffsetMm: number;
  /** Where the arc is lowest, ahead of the ball, where that is known; else it follows from the attack angle. */
  readonly lowPointCm?: number | null;
}

/** What comes of it: true values, before measurement. */
export interface Strike {
  readonly ballSpeedMps: number;
  readonly lowPointCm: number;
  readonly groundFirst: boolean;
  readonly rating: number;
}

/**
 * Ball speed over head speed of a rigid impact in which the ball sticks tangentially:
 * sqrt(((1+e)/(1+m/M) cos s)^2 + ((2/7)/(1+(2/7)m/M) sin s)^2), s the spin loft
 * (the general form in Penner AR. The physics of golf. Rep Prog Phys 2003;66:131-171).
 *
 * @param spinLoftDeg dynamic loft minus attack angle, deg
 * @example impulseSmashFactor(30, { restitution: 0.8, ballMassKg: 0.04593, headMassKg: 0.255 }) // 1.328
 */
export function impulseSmashFactor(
  spinLoftDeg: number,
  strike: Pick<Recipe['strike'], 'restitution' | 'ballMassKg' | 'headMassKg'>,
): number {
  const share = strike.ballMassKg / strike.headMassKg;
  const along = ((1 + strike.restitution) / (1 + share)) * Math.cos(spinLoftDeg * RADIANS);
  const across = (2 / 7 / (1 + (2 / 7) * share)) * Math.sin(spinLoftDeg * RADIANS);
  return Math.hypot(along, across);
}

/**
 * How far ahead of the ball a circular arc on an inclined plane is lowest: tan(attack) = tan(s) sin(inclination),
 * distance = R sin(-s). Geometry.
 *
 * @returns cm, positive ahead of the ball
 * @example arcLowPointCm(-4, { arcRadiusM: 1.6, planeInclinationDeg: 60 }) // 12.88
 */
export function arcLowPointCm(
  attackAngleDeg: number,
  strike: Pick<Recipe['strike'], 'arcRadiusM' | 'planeInclinationDeg'>,
): number {
  const along = Math.atan(
    Math.tan(attackAngleDeg * RADIANS) / Math.sin(strike.planeInclinationDeg * RADIANS),
  );
  return -100 * strike.arcRadiusM * Math.sin(along);
}

/** What chance adds to a strike: standard normal numbers for low point, ground limit and rater. */
export interface StrikeChance {
  readonly lowPoint: number;
  readonly ground: number;
  readonly rater: number;
}

/** Draw the chance of one strike. */
export function drawStrikeChance(stream: Stream): StrikeChance {
  return { lowPoint: stream.normal(), ground: stream.normal(), rater: stream.normal() };
}

/** The strike that follows from a delivery. */
export function strikeBall(delivery: Delivery, recipe: Recipe['strike'], chance: StrikeChance): Strike {
  const { rating, groundFirstLowPointCm: limit } = recipe;
  const arcCm = delivery.lowPointCm ?? arcLowPointCm(delivery.attackAngleDeg, recipe);
  const lowPointCm = arcCm + recipe.lowPointSdCm * chance.lowPoint;
  const groundFirst = lowPointCm < limit.mean + limit.sd * chance.ground;
  const spinLoft = recipe.staticLoftDeg - delivery.shaftLeanDeg - delivery.attackAngleDeg;
  const centred = Math.max(0.5, 1 - recipe.offsetLossPerMm2 * delivery.strikeOffsetMm ** 2);
  const impression =
    rating.best -
    rating.lossPerLeanDeg2 * (delivery.shaftLeanDeg - rating.bestLeanDeg) ** 2 -
    rating.lossPerOffsetMm * Math.abs(delivery.strikeOffsetMm) +
    (rating.gainPerLeanDeg ?? 0) * delivery.shaftLeanDeg -
    (groundFirst ? rating.lossForGroundFirst : 0) +
    raterAdds(rating, chance.rater);
  return {
    ballSpeedMps: delivery.clubSpeedMps * impulseSmashFactor(spinLoft, recipe) * centred,
    lowPointCm,
    groundFirst,
    rating: rated(rating, impression),
  };
}

/** Logistic numbers of SD 1 have this scale: their variance is pi^2/3 times its square. */
const LOGISTIC_SCALE = Math.sqrt(3) / Math.PI;

/** Scale of the rater's logistic noise, in rating points. */
export function logisticScale({ raterSd }: Recipe['strike']['rating']): number {
  return raterSd * LOGISTIC_SCALE;
}

/** What the rater adds, from a standard normal number: chance, turned into logistic where asked for, and bias. */
function raterAdds(rating: Recipe['strike']['rating'], z: number): number {
  const chance =
    rating.raterNoise === 'logistic'
      ? logisticScale(rating) * Math.log(normalLower(z) / normalUpper(z))
      : rating.raterSd * z;
  return rating.raterBias === undefined ? chance : chance + rating.raterBias;
}

/** The rating from 1 to 5 of an impression: how many thresholds it passes. */
function rated({ thresholds }: Recipe['strike']['rating'], impression: number): number {
  if (thresholds === undefined) return Math.min(5, Math.max(1, Math.round(impression)));
  return 1 + thresholds.filter((threshold) => impression >= threshold).length;
}
