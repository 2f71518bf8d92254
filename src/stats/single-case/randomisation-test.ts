import type { Stream } from '../../numerics/index.ts';
import { countPhaseAssignments, drawPhaseAssignment, eachPhaseAssignment } from './phase-assignments.ts';
import { PhaseDifference } from './phase-difference.ts';
import {
  countStartingPoints,
  drawStartingPoints,
  eachStartingPoints,
  type StartWindow,
  type WindowRule,
} from './starting-points.ts';

/** One series in phases A, B, A, ...; `starts` are the positions (from 0) at which the second and later ones begin. */
export interface PhaseDesign {
  readonly kind: 'phases';
  readonly values: readonly number[];
  readonly starts: readonly number[];
  /** The fewest occasions in a phase that the draw allowed. */
  readonly least: number;
}

/** Several series, each of one A and one B phase; window k is that of series k as it turned out. */
export interface MultipleBaselineDesign {
  readonly kind: 'multiple-baseline';
  readonly series: readonly { readonly values: readonly number[]; readonly start: number }[];
  readonly windows: readonly StartWindow[];
  readonly rule: WindowRule;
}

/** How phases came to be: one unit with several phases, or several units that begin one after the other. */
export type SingleCaseDesign = PhaseDesign | MultipleBaselineDesign;

/** Which differences count as extreme, and how many ways of drawing the design are gone through. */
export interface RandomisationOptions {
  /** `either` compares sizes; `higher` and `lower` count only differences in that direction. Default `either`. */
  readonly direction?: 'either' | 'higher' | 'lower';
  /** Confidence level of the interval by inversion. Default 0.95. */
  readonly level?: number;
  /** Draws where there are more ways than `most`; needed only then. */
  readonly stream?: Stream;
  readonly draws?: number;
  /** Up to so many ways are gone through one by one. Default 200,000. */
  readonly most?: number;
}

/** A randomisation test of a single-case design, with its interval by inversion, in the unit of the values. */
export interface RandomisationTest {
  /** Mean of B less mean of A; over several series, the mean of their differences. */
  readonly difference: number;
  /** How many ways the design could have been drawn. */
  readonly ways: number;
  /** The share of ways with a difference at least as large as the one seen, the seen one among them. */
  readonly p: number;
  /** The smallest p that this design can give, whatever the data. */
  readonly smallestP: number;
  /** Whether every way was gone through; else p is from `counted` ways, the seen one among them. */
  readonly exact: boolean;
  readonly counted: number;
  /**
   * Every change that a test of this kind would not reject at 1 - level, if the change is the same on every B
   * occasion; null where the design is too small to reject anything at that level.
   */
  readonly interval: readonly [number, number] | null;
  /** The difference under each counted way, the seen one first. */
  readonly differences: Float64Array;
}

/** How far, of the largest value, two differences may be apart by rounding and still count as equal. */
const ROUNDING = 1e-12;

/**
 * The exact randomisation test of a single-case design: what the difference would have been under every way in which
 * the design could have been drawn (Edgington and Onghena 2007, chapter 11), and the interval by inverting it
 * (Michiels, Heyvaert, Meulders and Onghena 2017, Behav Res Methods 49:363-381), here in closed form: the difference
 * of the data less a change d is linear in d under every way, so each way counts in an interval of d.
 * Valid whatever the errors, as long as the design was drawn at random from these ways.
 *
 * @throws Error when the seen design is not one of the ways, or there are too many ways and no stream was passed
 * @example
 * randomisationTest({ kind: 'phases', values: [1, 2, 1, 5, 6, 5], starts: [3], least: 1 }).p // 0.2: 1 of 5 ways
 */
export function randomisationTest(
  design: SingleCaseDesign,
  options: RandomisationOptions = {},
): RandomisationTest {
  const { direction = 'either', level = 0.95, stream, draws = 19_999, most = 200_000 } = options;
  const data = new PhaseDifference(design);
  const ways = countWays(design);
  if (!isPossible(design))
    throw new Error(
      'randomisationTest: the design as it was is not among the ways it could have been drawn; pass the windows, or the fewest occasions in a phase, that were really used',
    );
  const exact = ways <= most;
  if (!exact && stream === undefined)
    throw new Error(`randomisationTest: ${ways} ways are too many to go through; pass a stream`);
  const counted = exact ? ways : draws + 1;
  const differences = new Float64Array(counted);
  const slopes = new Float64Array(counted);
  differences[0] = data.ofValues(data.seen);
  slopes[0] = 1;
  let at = 1;
  let same = 1;
  let skipped = false;
  const take = (starts: readonly number[]) => {
    const isSeen = starts.every((start, i) => start === data.seen[i]);
    if (isSeen && exact) {
      if (!skipped) {
        skipped = true;
        return;
      }
      same += 1;
    }
    differences[at] = data.ofValues(starts);
    slopes[at] = isSeen ? 1 : data.ofSeenPhases(starts);
    at += 1;
  };
  if (exact) eachWay(design, take);
  else for (let i = 0; i < draws; i++) take(drawWay(design, stream!));
  const slack = ROUNDING * data.scale;
  return {
    difference: differences[0],
    ways,
    p: shareAtLeast(differences, direction, slack),
    smallestP: exact ? same / ways : Math.max(1 / counted, 1 / ways),
    exact,
    counted,
    interval: invert(differences, slopes, level),
    differences,
  };
}

function shareAtLeast(differences: Float64Array, direction: 'either' | 'higher' | 'lower', slack: number) {
  const size = (value: number) =>
    direction === 'either' ? Math.abs(value) : direction === 'higher' ? value : -value;
  const seen = size(differences[0]!) - slack;
  let count = 0;
  for (const value of differences) if (size(value) >= seen) count += 1;
  return count / differences.length;
}

/**
 * The way w counts against a change d where |T_w - c_w d| >= |T - d|, c_w being the difference under w of a series
 * that is 1 in the seen B phases: for d between (T - T_w) / (1 - c_w) and (T + T_w) / (1 + c_w). All of these hold T,
 * so that p falls to both sides of T, and the ends are order statistics of the ends of the ways.
 */
function invert(differences: Float64Array, slopes: Float64Array, level: number): [number, number] | null {
  const n = differences.length;
  const rejecting = Math.floor((1 - level) * n + 1e-9);
  if (rejecting < 1) return null;
  const seen = differences[0]!;
  const low = new Float64Array(n);
  const high = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const c = slopes[i]!;
    if (1 - Math.abs(c) < 1e-12) {
      low[i] = -Infinity;
      high[i] = Infinity;
      continue;
    }
    const one = (seen - differences[i]!) / (1 - c);
    const other = (seen + differences[i]!) / (1 + c);
    low[i] = Math.min(one, other);
    high[i] = Math.max(one, other);
  }
  low.sort();
  high.sort();
  const ends: [number, number] = [low[rejecting]!, high[n - 1 - rejecting]!];
  return ends.every(Number.isFinite) ? ends : null;
}

function countWays(design: SingleCaseDesign): number {
  return design.kind === 'phases'
    ? countPhaseAssignments(design.values.length, design.starts.length + 1, design.least)
    : countStartingPoints(design.windows, design.rule);
}

function eachWay(design: SingleCaseDesign, visit: (starts: readonly number[]) => void): void {
  if (design.kind === 'phases')
    eachPhaseAssignment(design.values.length, design.starts.length + 1, design.least, visit);
  else eachStartingPoints(design.windows, design.rule, visit);
}

function drawWay(design: SingleCaseDesign, stream: Stream): number[] {
  return design.kind === 'phases'
    ? drawPhaseAssignment(design.values.length, design.starts.length + 1, design.least, stream)
    : drawStartingPoints(design.windows, design.rule, stream);
}

function isPossible(design: SingleCaseDesign): boolean {
  if (design.kind === 'phases') {
    const edges = [0, ...design.starts, design.values.length];
    return edges.slice(1).every((edge, i) => edge - edges[i]! >= Math.max(1, design.least));
  }
  const shortest = Math.min(...design.series.map(({ values }) => values.length));
  return (
    design.windows.length === design.series.length &&
    design.series.every(({ values, start }, i) => {
      const [first, last] = design.windows[i]!;
      const room = design.rule === 'drawn' ? shortest : values.length;
      return first >= 1 && last < room && first <= start && start <= last;
    })
  );
}
