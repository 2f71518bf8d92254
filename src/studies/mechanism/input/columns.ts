import { studyMetric } from '../../shared/study-metric.ts';

/** Columns that say how early the trail elbow straightens, the first that was measured by default. Less is earlier in each. */
export const PREDICTORS = [
  'transition_elbow_change_deg',
  'elbow_extension_onset_ms',
  'trail_elbow_flexion_arm_parallel_deg',
] as const;
/** Columns that say how late the club is let go. */
export const MEDIATORS = ['release_onset_ms', 'release_timing_pct', 'lag_delivery_deg'] as const;
/** What a strike is judged by. */
export const STRIKES = ['strike_rating', 'impact_offset_mm', 'ground_first'] as const;
/** Turns of the body that may change how much the elbow does. */
export const TURNS = ['pelvis_turn_impact_deg', 'thorax_turn_impact_deg'] as const;

export type Predictor = (typeof PREDICTORS)[number];
export type Mediator = (typeof MEDIATORS)[number];
export type Strike = (typeof STRIKES)[number];
export type Turn = (typeof TURNS)[number];

/** A slope is told for this many units of what it is a slope on: a step that a person can see. */
export const STEP = 10;

interface StepWords {
  /** 1 where the step told is towards more of the column, -1 where towards less. */
  readonly sense: 1 | -1;
  /** The step in words, as it follows `with`. */
  readonly step: string;
  readonly short: string;
}

const STEPS: Readonly<Record<string, StepWords>> = {
  transition_elbow_change_deg: {
    sense: -1,
    step: 'the elbow straightened by 10 deg more between the top and lead arm parallel',
    short: '10 deg more straightening',
  },
  elbow_extension_onset_ms: {
    sense: -1,
    step: 'the elbow began to straighten 10 ms earlier',
    short: 'straightening 10 ms earlier',
  },
  trail_elbow_flexion_arm_parallel_deg: {
    sense: -1,
    step: 'the elbow was 10 deg straighter at lead arm parallel',
    short: 'an elbow 10 deg straighter at lead arm parallel',
  },
  release_onset_ms: {
    sense: -1,
    step: 'the release began 10 ms later, nearer to impact',
    short: 'a release 10 ms later',
  },
  release_timing_pct: {
    sense: 1,
    step: 'the release began later by 10 % of the downswing',
    short: 'a release later by 10 % of the downswing',
  },
  lag_delivery_deg: {
    sense: 1,
    step: 'the lag angle at delivery was 10 deg larger',
    short: '10 deg more lag at delivery',
  },
};

/** How a step of a column is told: its direction and its words. */
export function stepOf(column: string): StepWords {
  const { unit, label } = studyMetric(column);
  return (
    STEPS[column] ?? {
      sense: 1,
      step: `${label} was ${STEP} ${unit} higher`,
      short: `${STEP} ${unit} more of ${label}`,
    }
  );
}

/** The unit of a slope of one column on another: `deg per 10 ms`. */
export function slopeUnit(of: string, on: string): string {
  return `${studyMetric(of).unit} per ${STEP} ${studyMetric(on).unit}`;
}

/** What a slope per unit is multiplied by to be told per step. */
export function perStep(on: string): number {
  return stepOf(on).sense * STEP;
}
