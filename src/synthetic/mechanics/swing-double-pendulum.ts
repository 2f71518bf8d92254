import { type EventFunction, type Motion, type MotionFault, solveMotion } from '../../numerics/index.ts';
import {
  type DoublePendulum,
  PENDULUM_STATE,
  pendulumEnergy,
  pendulumHeadSpeed,
  pendulumRates,
  stopMoment,
} from './double-pendulum.ts';
import { pieceMiddles, type Torque, torqueAt, torqueBreaks, torqueProblem } from './torque.ts';

/** How a double pendulum starts, what drives it, and where it meets the ball. */
export interface PendulumSwing {
  /** gamma: the arm at the start, from the downward vertical. */
  readonly startArm_deg: number;
  /** beta at the start. */
  readonly startCock_deg: number;
  readonly hub: Torque;
  readonly wrist: Torque;
  /** Whether the wrist rests on a stop at the start, which the club leaves when it no longer presses on it. */
  readonly wristStop: boolean;
  /** phi at impact: 0 is a vertical shaft, positive a head that is still behind the hands. */
  readonly impactShaft_deg: number;
  /** When it is given up, in s. */
  readonly until_s: number;
}

/** The double pendulum at one moment; angles as the source measures them. */
export interface PendulumMoment {
  readonly time_s: number;
  /** alpha. */
  readonly turned_deg: number;
  /** theta. */
  readonly arm_deg: number;
  /** beta. */
  readonly cock_deg: number;
  readonly headSpeed_m_s: number;
}

/** A run of the double pendulum, with how well its energy was kept. */
export interface PendulumRun {
  /** When the club left the stop; null where there was none, or where it never left it. */
  readonly release: PendulumMoment | null;
  /** null where the shaft did not get there. */
  readonly impact: PendulumMoment | null;
  readonly end: PendulumMoment;
  /** Energy at the end less energy at the start less the work of the torques (J): what the integration lost or made. */
  readonly energyDrift_J: number;
  /** The largest kinetic energy and the largest change of potential are of this size (J): what a drift is held against. */
  readonly energyScale_J: number;
  readonly fault: MotionFault | null;
}

const TOLERANCES = { relativeTolerance: 1e-12, absoluteTolerance: 1e-13 } as const;
const RAD = Math.PI / 180;

/**
 * Swings a double pendulum from rest until its shaft is where impact is said to be.
 *
 * @throws Error on a torque, a length or an inertia that cannot be
 * @example
 * swingDoublePendulum(JORGENSEN_PENDULUM, JORGENSEN_SWING).impact // { time_s: 0.28835, ... }
 */
export function swingDoublePendulum(pendulum: DoublePendulum, swing: PendulumSwing): PendulumRun {
  checkSwing(pendulum, swing);
  const gamma = swing.startArm_deg * RAD;
  const start = new Float64Array(PENDULUM_STATE);
  start[2] = swing.startCock_deg * RAD;

  const impact: EventFunction = {
    name: 'impact',
    value: (_time, state) => gamma - state[0]! + state[2]! - swing.impactShaft_deg * RAD,
    direction: -1,
    terminal: true,
  };
  const follow = (from: number, state: Float64Array, stopped: boolean): Motion => {
    const breaks = torqueBreaks([swing.hub, swing.wrist], swing.until_s).filter((t) => t > from);
    const middles = pieceMiddles(breaks, from, swing.until_s);
    const torques = (time: number, piece: number): [number, number] => [
      torqueAt(swing.hub, time, middles[piece]!),
      torqueAt(swing.wrist, time, middles[piece]!),
    ];
    const insideOf = (time: number): number => breaks.filter((corner) => corner <= time).length;
    const leaving: EventFunction = {
      name: 'release',
      value: (time, at) => stopMoment(pendulum, gamma, at, ...torques(time, insideOf(time))),
      direction: 1,
      terminal: true,
    };
    return solveMotion({
      rates: (time, at, rates, piece) =>
        pendulumRates(pendulum, gamma, at, ...torques(time, piece), stopped, rates),
      start: state,
      from,
      to: swing.until_s,
      breaks,
      events: stopped ? [leaving, impact] : [impact],
      ...TOLERANCES,
    });
  };

  const startTorques = [torqueAt(swing.hub, 0, 1e-12), torqueAt(swing.wrist, 0, 1e-12)] as const;
  const pressed = swing.wristStop && stopMoment(pendulum, gamma, start, ...startTorques) < 0;
  let motion = follow(0, start, pressed);
  let release: PendulumMoment | null = null;
  if (motion.endedBy === 'release') {
    const left = motion.happenings.at(-1)!;
    release = moment(pendulum, gamma, left.time, left.state);
    motion = follow(left.time, left.state, false);
  }
  const end = moment(pendulum, gamma, motion.times.at(-1)!, motion.end);
  const gained = pendulumEnergy(pendulum, gamma, motion.end) - pendulumEnergy(pendulum, gamma, start);
  const potential = pendulumEnergy(pendulum, gamma, atRest(motion.end));
  const kinetic = pendulumEnergy(pendulum, gamma, motion.end) - potential;
  return {
    release,
    impact: motion.endedBy === 'impact' ? end : null,
    end,
    energyDrift_J: gained - motion.end[4]!,
    energyScale_J: Math.max(kinetic, Math.abs(potential - pendulumEnergy(pendulum, gamma, start))),
    fault: motion.fault,
  };
}

function atRest(state: Float64Array): Float64Array {
  return Float64Array.of(state[0]!, 0, state[2]!, 0, 0);
}

function moment(pendulum: DoublePendulum, gamma: number, time: number, state: Float64Array): PendulumMoment {
  return {
    time_s: time,
    turned_deg: state[0]! / RAD,
    arm_deg: (gamma - state[0]!) / RAD,
    cock_deg: state[2]! / RAD,
    headSpeed_m_s: pendulumHeadSpeed(pendulum, state),
  };
}

function checkSwing(pendulum: DoublePendulum, swing: PendulumSwing): void {
  for (const key of [
    'armLength_m',
    'armInertia_kg_m2',
    'clubMass_kg',
    'clubLength_m',
    'clubFirstMoment_kg_m',
    'clubInertia_kg_m2',
  ] as const)
    if (!(pendulum[key] > 0 && Number.isFinite(pendulum[key])))
      throw new Error(`swingDoublePendulum: ${key} is ${pendulum[key]}; give a number above 0.`);
  for (const joint of ['hub', 'wrist'] as const) {
    const problem = torqueProblem(swing[joint]);
    if (problem !== null) throw new Error(`swingDoublePendulum: torque at the ${joint}: ${problem}.`);
  }
}
