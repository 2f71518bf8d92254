import { createStream } from '../../../numerics/index.ts';
import type { MechanismSwing } from '../../mechanism/input/swings.ts';

/** Planted paths, per unit, inside golfers and between their levels; angles in degrees, times in ms. */
export interface Planted {
  readonly golfers: number;
  readonly sessions?: number;
  readonly swings?: number;
  /** elbow -> release, release -> lean, elbow -> lean. */
  readonly a?: number;
  readonly b?: number;
  readonly direct?: number;
  readonly slopeSd?: { readonly a?: number; readonly b?: number; readonly direct?: number };
  /** Slope of golfers' usual lean on their usual elbow change; that of the paths where absent. */
  readonly between?: number;
  /** SD of measurement error of elbow and release; stated beside the values. */
  readonly error?: { readonly elbow?: number; readonly release?: number };
  /** A cause of its own on both elbow and lean inside golfers: SD it brings to the elbow, and slope of lean on it. */
  readonly hidden?: { readonly elbow: number; readonly lean: number };
  /** Best lean, and what is lost in rating per squared degree from it. */
  readonly best?: { readonly lean: number; readonly loss: number };
  /** How the slope of lean on elbow changes per degree that the golfer's usual pelvis turn is above the mean. */
  readonly moderation?: number;
  readonly sessionSd?: number;
}

const ELBOW_SD = 3;
const SESSION_ELBOW_SD = 1.5;

/** Swings of a planted cohort, drawn from the model that the study assumes. */
export function plantedSwings(planted: Planted, seed: number): MechanismSwing[] {
  const { golfers, sessions = 2, swings = 10, a = 1.1, b = -0.14, direct = -0.12, slopeSd = {} } = planted;
  const { between = a * b + direct, error = {}, hidden, best, moderation = 0, sessionSd = 0.8 } = planted;
  const out: MechanismSwing[] = [];
  for (let g = 0; g < golfers; g++) {
    const stream = createStream(seed, 'golfer', g);
    const usual = -9 + 7 * stream.normal();
    const level = 4 + between * (usual + 9) + 3 * stream.normal();
    const release = 100 + 14 * stream.normal();
    const turn = 8 * stream.normal();
    const own = {
      a: a + (slopeSd.a ?? 0) * stream.normal(),
      b: b + (slopeSd.b ?? 0) * stream.normal(),
      direct: direct + (slopeSd.direct ?? 0) * stream.normal() + moderation * turn,
    };
    for (let s = 0; s < sessions; s++) {
      const day = { elbow: SESSION_ELBOW_SD * stream.normal(), lean: sessionSd * stream.normal() };
      for (let k = 0; k < swings; k++) {
        const cause = stream.normal();
        const elbow = day.elbow + ELBOW_SD * stream.normal() + (hidden?.elbow ?? 0) * cause;
        const let_go = own.a * elbow + 7 * stream.normal();
        const lean =
          own.b * let_go +
          own.direct * elbow +
          day.lean +
          1.6 * stream.normal() +
          (hidden?.lean ?? 0) * cause;
        const shaft = level + lean;
        const quality = best === undefined ? 0.15 * shaft : -best.loss * (shaft - best.lean) ** 2;
        const noise = stream.uniform();
        const rating = 3 + quality + 0.6 * Math.log(noise / (1 - noise));
        const values = {
          transition_elbow_change_deg: usual + elbow + (error.elbow ?? 0) * stream.normal(),
          release_onset_ms: release + let_go + (error.release ?? 0) * stream.normal(),
          shaft_lean_impact_deg: shaft,
          strike_rating: Math.min(5, Math.max(1, Math.round(rating))),
          impact_offset_mm: Math.max(0.1, 12 - 0.4 * shaft + 3 * stream.normal()),
          ground_first: stream.bernoulli(1 / (1 + Math.exp(1 + 0.3 * lean))) ? 1 : 0,
          pelvis_turn_impact_deg: 35 + turn + 3 * stream.normal(),
        };
        out.push({
          swing: `G${String(g + 1).padStart(3, '0')}-${s + 1}-${k + 1}`,
          session: `G${String(g + 1).padStart(3, '0')}-${s + 1}`,
          golfer: `G${String(g + 1).padStart(3, '0')}`,
          phase: 'baseline',
          device: 'D1',
          order: k + 1,
          club: 'mid-iron',
          intent: 100,
          values,
          errors: {
            ...(error.elbow === undefined ? {} : { transition_elbow_change_deg: error.elbow }),
            ...(error.release === undefined ? {} : { release_onset_ms: error.release }),
          },
        });
      }
    }
  }
  return out;
}
