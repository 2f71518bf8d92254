import type { Happening, Motion } from '../../numerics/index.ts';
import { bodyProblems } from './body-problems.ts';
import { type Chain, createChain } from './chain.ts';
import { type DownswingRun, type DownswingSummary, summariseDownswing } from './downswing-run.ts';
import { sampleDownswing } from './downswing-series.ts';
import { followDownswing, UNTIL_S } from './follow-downswing.ts';
import { type BodyProblem, gravityInPlane, type SwingBody } from './swing-body.ts';
import { type SwingTimings, timingProblems } from './swing-timings.ts';

/** Why there is no downswing to tell of. */
export interface DownswingFault {
  readonly kind: 'impossible-body' | 'impossible-timings' | 'loop-broken' | 'no-impact' | 'not-followed';
  readonly found: string;
  readonly problems: readonly BodyProblem[];
}

/** A simulated downswing, or why there is none. */
export type Downswing =
  | { readonly run: DownswingRun }
  | { readonly run: null; readonly fault: DownswingFault };

/** The same without the series over time. */
export type SummarisedDownswing =
  | { readonly run: DownswingSummary }
  | { readonly run: null; readonly fault: DownswingFault };

/**
 * Error tolerated per step, relative. At the finer one the energy is kept to 1e-9 and the metrics to far below what a table
 * shows; at the coarser one, which is for cohorts, they are still kept to a tenth of the last decimal of the table
 * (tests/synthetic/mechanics/simulate-downswing.test.ts shows how they converge).
 */
const FINE = 1e-9;
const COARSE = 1e-6;

/**
 * Swings a body from rest, through impact, to well past the ball or to where the trail hand would leave the grip. Trunk,
 * lead arm and club move by the equations of the chain (chain.ts) under the torques given and what the joints do at the ends of their
 * range; the trail arm is carried along without mass or force, and its flexion follows from the closed loop (trail-elbow.ts). Ball
 * contact takes nothing from the club: what comes after impact is a swing without a ball.
 *
 * @returns the run; or a fault for a body or timings that cannot be, a loop that breaks before impact, or a club that does
 *   not reach the ball within 1.2 s
 * @example
 * const swing = simulateDownswing(SKILLED_BODY, SKILLED_TIMINGS);
 * swing.run!.impact.headSpeed_m_s > 35 // true
 */
export function simulateDownswing(body: SwingBody, timings: SwingTimings): Downswing {
  const swung = swingThrough(body, timings, FINE);
  if ('fault' in swung) return swung;
  const { chain, motion, impact } = swung;
  return {
    run: { ...summariseDownswing(body, chain, motion, impact), series: sampleDownswing(body, motion) },
  };
}

/**
 * The same downswing without its series, which is quicker.
 *
 * @param relativeTolerance of the integration; that which a table needs unless given
 * @example
 * const [quick, whole] = [summarisedDownswing, simulateDownswing].map((swing) => swing(SKILLED_BODY, SKILLED_TIMINGS));
 * Math.abs(quick!.run!.lowPoint_cm - whole!.run!.lowPoint_cm) < 0.01 // true
 */
export function summarisedDownswing(
  body: SwingBody,
  timings: SwingTimings,
  relativeTolerance = COARSE,
): SummarisedDownswing {
  const swung = swingThrough(body, timings, relativeTolerance);
  if ('fault' in swung) return swung;
  return { run: summariseDownswing(body, swung.chain, swung.motion, swung.impact) };
}

interface Swung {
  readonly chain: Chain;
  readonly motion: Motion;
  readonly impact: Happening;
}

function swingThrough(
  body: SwingBody,
  timings: SwingTimings,
  relativeTolerance: number,
): Swung | { run: null; fault: DownswingFault } {
  const problems = [...bodyProblems(body), ...timingProblems(timings)];
  if (problems.length > 0) return refused(problems);

  const chain = createChain([body.trunk, body.leadArm, body.club], gravityInPlane(body), body.limits);
  const motion = followDownswing(body, chain, timings, relativeTolerance);
  if (motion.fault !== null) return fault('not-followed', `${motion.fault.kind} at ${motion.fault.time} s`);
  const impact = motion.happenings.find((happening) => happening.name === 'impact');
  if (impact !== undefined) return { chain, motion, impact };
  return motion.endedBy === 'the trail hand leaves the grip'
    ? fault('loop-broken', `${motion.endedBy} at ${motion.times.at(-1)} s, before impact`)
    : fault('no-impact', `the club head did not reach the ball within ${UNTIL_S} s`);
}

function fault(kind: DownswingFault['kind'], found: string): { run: null; fault: DownswingFault } {
  return { run: null, fault: { kind, found, problems: [] } };
}

function refused(problems: readonly BodyProblem[]): { run: null; fault: DownswingFault } {
  const ofTimings = problems.every(({ where }) => where.startsWith('timings.'));
  const found = problems.map((p) => `${p.where} is ${p.found}`).join('; ');
  return {
    run: null,
    fault: { kind: ofTimings ? 'impossible-timings' : 'impossible-body', found, problems },
  };
}
