import { type CleanMarkers, cleanMarkers } from './cleaning/clean-markers.ts';
import { fillGaps, type Gap } from './cleaning/gaps.ts';
import { type ResidualAnalysis, residualAnalysis } from './cleaning/residual-analysis.ts';
import { createSmoother, type Smoother } from './cleaning/smoother.ts';
import type { Vector } from './geometry/vector.ts';
import { findStrike, pointOf, type Strike } from './instants/strike.ts';
import { type Layout, swingSideName } from './layout/layout.ts';
import type { NamedChannels } from './layout/name-channels.ts';
import { labAxes, pointToLab, toLab } from './layout/orient.ts';
import { createMotion, isClubLandmark, type Motion } from './motion.ts';
import type { CaptureResult } from './problem.ts';
import { type ChosenProcessing, TOP_CUTOFF_HZ } from './processing-options.ts';
import { mapTracks, type Trial } from './trial.ts';

export interface PreparedTrial {
  readonly processing: ChosenProcessing;
  readonly strike: Strike | null;
  /** The ball in lab axes. */
  readonly ball: Vector | null;
  readonly motion: Motion;
  /** The landmarks that tell the top, filtered as slowly as the movement there is. */
  readonly slow: Motion;
  readonly repairs: CleanMarkers['repairs'];
  readonly gaps: readonly FilledGap[];
  /** Of each landmark, where cut-offs are chosen so; null for one that was seen too little. */
  readonly residuals: ReadonlyMap<string, ResidualAnalysis | null>;
}

/** A gap of a landmark and what filled it, if anything did. */
export interface FilledGap extends Omit<Gap, 'filled'> {
  readonly landmark: string;
  readonly filledBy: 'spline' | 'rigid segment' | null;
}

/**
 * From named channels to a motion in lab axes: markers put right, gaps filled, axes turned, positions filtered on both
 * sides of impact.
 */
export function prepareTrial(
  named: NamedChannels,
  layout: Layout,
  processing: ChosenProcessing,
): CaptureResult<PreparedTrial> {
  const { rateHz } = named.trial;
  const givenNoise = layout.markerNoise_mm === undefined ? null : layout.markerNoise_mm / 1000;
  const clean = cleanMarkers(named.trial, givenNoise, rigidSegmentsOf(layout));
  const longest = Math.round(processing.longestGap_s * rateHz);
  const headAsSeen = clean.trial.tracks.get('club_head');
  const head = headAsSeen && fillGaps(headAsSeen, longest).track;
  const strike = head ? findStrike(head, rateHz, ballOf(named)) : null;
  const axes = labAxes(layout, named.targetFrom, named.targetTo, strike?.address?.frame ?? null);
  if (!axes.ok) return axes;
  const split = strike?.split ?? null;
  const gaps: FilledGap[] = clean.filled.map(({ landmark, from, to }) => ({
    landmark,
    from,
    to,
    filledBy: 'rigid segment',
  }));
  const trial = mapTracks(clean.trial, (track, landmark) => {
    const fill = fillGaps(track, longest, split === null ? null : split + 1);
    for (const { from, to, filled } of fill.gaps)
      gaps.push({ landmark, from, to, filledBy: filled ? 'spline' : null });
    return toLab(fill.track, axes.value);
  });
  const filterSplit = processing.filterThroughImpact ? null : split;
  const residuals = new Map<string, ResidualAnalysis | null>();
  if (processing.cutoff === 'by residual analysis')
    for (const [name, track] of trial.tracks)
      residuals.set(name, residualAnalysis(track, rateHz, filterSplit));
  const smootherOf = (name: string): Smoother =>
    createSmoother(residuals.get(name)?.cutoffHz ?? processing.cutoffHz[cutoffKind(name)], rateHz);
  const settings = { split, noise: clean.noise, derivatives: processing.derivatives };
  const slowSmoother = createSmoother(TOP_CUTOFF_HZ, rateHz);
  return {
    ok: true,
    value: {
      processing,
      strike,
      ball: strike?.ball ? pointToLab(strike.ball, axes.value) : null,
      motion: createMotion(trial, { ...settings, filterSplit, smootherOf }),
      slow: createMotion(topLandmarks(trial), {
        ...settings,
        filterSplit: split,
        smootherOf: () => slowSmoother,
      }),
      repairs: clean.repairs,
      gaps,
      residuals,
    },
  };
}

/** The rigid segments of a layout, landmarks under their swing-side names. */
function rigidSegmentsOf({ rigidSegments = {}, plays }: Layout): Record<string, readonly string[]> {
  return Object.fromEntries(
    Object.entries(rigidSegments).map(([segment, names]) => [
      segment,
      names.map((name) => swingSideName(name, plays)),
    ]),
  );
}

/** The grip moves as the hands do, however near it is to the club head. */
function cutoffKind(landmark: string): 'club' | 'body' {
  return isClubLandmark(landmark) && landmark !== 'grip' ? 'club' : 'body';
}

const TOP_LANDMARKS = ['grip', 'club_head', 'lead_shoulder', 'lead_wrist', 'lead_hip', 'trail_hip'];

function topLandmarks(trial: Trial): Trial {
  return { ...trial, tracks: new Map([...trial.tracks].filter(([name]) => TOP_LANDMARKS.includes(name))) };
}

/** The ball: a channel where it lay at the start of the capture, or the point the layout gives. */
function ballOf({ trial, ball }: NamedChannels): Vector | null {
  const track = trial.tracks.get('ball');
  if (!track) return ball;
  const first = track.x.findIndex((v) => !Number.isNaN(v));
  return first < 0 ? ball : pointOf(track, first);
}
