import { createStream } from '../../../src/numerics/index.ts';
import {
  drawGolfer,
  drawSession,
  drawSwing,
  type MechanicalSwing,
  mechanicalSwing,
  SIMULATED_GOLFERS,
} from '../../../src/synthetic/bodies/index.ts';

/** Places on the skill scale. */
export const LEVELS = { skilled: 1, lessSkilled: 0 } as const;

/** A swing far enough into the session that the golfer is warm. */
const WARM = 20;
const LOFT_DEG = 27;

/**
 * Published of skilled golfers. Peak speeds: Zheng et al. (2008), 18 professional men. Head speed: from the ball speed of the faster
 * half of 30 men with a 5-iron, 52.9 (2.1) m/s (Healy et al. 2011), over 1.40 (computed here). The downswing time is a design assumption.
 */
const PUBLISHED = [
  ['elbow_extension_speed_peak_dps', 854, 150],
  ['wristSpeedPeak_dps', 1085, 338],
  ['shaftSpeedPeak_dps', 2413, 442],
  ['club_speed_mps', 37.8, 1.5],
  ['downswing_ms', 280, 30],
] as const;

/** What teachers commonly say of a skilled golfer's trail elbow; common practice, no source. */
const SHAPE: Readonly<Record<string, (swing: MechanicalSwing) => boolean>> = {
  'elbow 80 to 90 deg at the top': ({ values: v }) =>
    v.trail_elbow_flexion_top_deg! >= 80 && v.trail_elbow_flexion_top_deg! <= 90,
  'at most 4 deg more bend after the top': ({ values: v }) => v.elbow_recoil_deg! <= 4,
  'straighter by lead arm parallel than at the top': ({ values: v }) => v.transition_elbow_change_deg! < 0,
  'lag grows after the top': ({ values: v }) => v.lag_peak_deg! > v.lag_top_deg! + 2,
  'elbow still bent by 15 deg or more at impact': ({ values: v }) => v.trail_elbow_flexion_impact_deg! >= 15,
  'straight within 80 ms after impact': ({ straightAfter_ms }) =>
    straightAfter_ms !== null && straightAfter_ms > 0 && straightAfter_ms <= 80,
};

interface MeanAndSd {
  readonly mean: number;
  readonly sd: number;
}

export interface Population {
  readonly redraws: Readonly<Record<string, number>>;
  readonly faults: Readonly<Record<string, number>>;
  readonly swings: number;
  /** Over golfers, of one swing each; and the SD of a golfer's swings (root mean square over golfers). */
  readonly values: Readonly<Record<string, { readonly golfers: MeanAndSd; readonly swings: number }>>;
  readonly published: readonly {
    readonly name: string;
    readonly publishedMean: number;
    readonly publishedSd: number;
    readonly mean: number;
    readonly sd: number;
    readonly within2Sd: number;
  }[];
  readonly shape: Readonly<Record<string, number>>;
}

/** Golfers of one skill and their warm swings. */
export function simulatePopulation(asked: {
  readonly golfers: number;
  readonly skill: number;
  readonly seed: number;
  /** More swings of each, from which the spread from swing to swing is taken. */
  readonly swings: number;
}): Population {
  const redraws: Record<string, number> = {};
  const faults: Record<string, number> = {};
  const first: MechanicalSwing[] = [];
  const variances = new Map<string, number[]>();
  let swings = 0;
  for (let g = 0; g < asked.golfers; g++) {
    const stream = createStream(asked.seed, 'population', asked.skill, g);
    const golfer = drawGolfer(SIMULATED_GOLFERS, asked.skill, stream.sub('golfer'));
    for (const [why, count] of Object.entries(golfer.redraws)) redraws[why] = (redraws[why] ?? 0) + count;
    const session = drawSession(SIMULATED_GOLFERS, golfer, stream.sub('session'));
    const own: MechanicalSwing[] = [];
    for (let k = 0; k < 1 + asked.swings; k++) {
      const drawn = drawSwing(SIMULATED_GOLFERS, golfer, session, WARM, stream.sub('swing', k));
      const swing = mechanicalSwing(drawn, LOFT_DEG);
      swings++;
      if ('fault' in swing) faults[swing.fault.kind] = (faults[swing.fault.kind] ?? 0) + 1;
      else own.push(swing);
    }
    if (own.length > 0) first.push(own[0]!);
    if (own.length > 2)
      for (const name of namesOf(own[0]!)) {
        const values = own.slice(1).map((swing) => read(swing, name));
        if (values.every(Number.isFinite))
          variances.set(name, [...(variances.get(name) ?? []), moments(values).sd ** 2]);
      }
  }
  const column = (name: string): number[] => first.map((swing) => read(swing, name)).filter(Number.isFinite);
  return {
    redraws,
    faults,
    swings,
    values: Object.fromEntries(
      namesOf(first[0]!).map((name) => [
        name,
        { golfers: moments(column(name)), swings: Math.sqrt(moments(variances.get(name) ?? [0]).mean) },
      ]),
    ),
    published: PUBLISHED.map(([name, publishedMean, publishedSd]) => ({
      name,
      publishedMean,
      publishedSd,
      ...moments(column(name)),
      within2Sd: shareOf(column(name), (value) => Math.abs(value - publishedMean) <= 2 * publishedSd),
    })),
    shape: Object.fromEntries(Object.entries(SHAPE).map(([fact, holds]) => [fact, shareOf(first, holds)])),
  };
}

function namesOf(swing: MechanicalSwing): string[] {
  return [...Object.keys(swing.values), 'wristSpeedPeak_dps', 'shaftSpeedPeak_dps'];
}

function read(swing: MechanicalSwing, name: string): number {
  return ({ ...swing.values, ...swing } as unknown as Record<string, number | null>)[name] ?? Number.NaN;
}

function moments(values: readonly number[]): MeanAndSd {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const squares = values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  return { mean, sd: Math.sqrt(squares / Math.max(1, values.length - 1)) };
}

function shareOf<T>(items: readonly T[], holds: (item: T) => boolean): number {
  return items.filter(holds).length / items.length;
}
