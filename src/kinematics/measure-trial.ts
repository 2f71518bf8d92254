import { checkSides } from './check-sides.ts';
import { fillGaps, type Gap } from './cleaning/gaps.ts';
import { segmentLengths } from './cleaning/rigidity.ts';
import { createSmoother } from './cleaning/smooth.ts';
import type { Vector } from './geometry/vector.ts';
import { findAllInstants } from './instants/find-all.ts';
import { DEFAULT_CHOICE, type InstantChoice } from './instants/find-instants.ts';
import { findImpact } from './instants/impact.ts';
import { findStrike, pointOf } from './instants/strike.ts';
import type { Layout } from './layout/layout.ts';
import type { NamedChannels } from './layout/name-channels.ts';
import { labAxes, pointToLab, toLab } from './layout/orient.ts';
import { coarseWarnings, gapWarnings, missWarning, rigidityWarnings } from './measure-warnings.ts';
import {
  DEFAULT_CUTOFF_HZ,
  DEFAULT_LONGEST_GAP_S,
  type Measurement,
  type MeasureOptions,
  TOP_CUTOFF_HZ,
} from './measurement.ts';
import { besideColumns, NOTHING_BESIDE } from './metrics/beside-columns.ts';
import { computeMetrics } from './metrics/compute-metrics.ts';
import { chooseDefinitions } from './metrics/definitions.ts';
import { createReader } from './metrics/reader.ts';
import { columnsOf, describeAlternatives, describeInstants, largestChange } from './metrics/report.ts';
import { DEFAULT_PLANE } from './metrics/swing-plane.ts';
import { createMotion, type Motion } from './motion.ts';
import type { CaptureResult } from './problem.ts';
import { computeSeries } from './series.ts';
import { mapTracks, type Trial } from './trial.ts';

/**
 * Measures one swing from named channels: gaps, axes, filter, instants, metrics, uncertainty.
 *
 * @param firstFrame number of the capture's first frame, only for reporting
 * @returns problems when the layout contradicts the swing (target, hand or sides the wrong way round); a metric
 *   that cannot be computed is null, and a warning says why
 */
export function measureTrial(
  named: NamedChannels,
  layout: Layout,
  firstFrame: number,
  options: MeasureOptions = {},
): CaptureResult<Measurement> {
  const { rateHz, frames } = named.trial;
  const warnings = [...named.warnings];
  const longest = Math.round((options.longestGap_s ?? DEFAULT_LONGEST_GAP_S) * rateHz);
  const provisional = mapTracks(named.trial, (track) => fillGaps(track, longest).track);
  const head = provisional.tracks.get('club_head');
  const strike = head ? findStrike(head, rateHz, ballOf(named)) : null;
  if (!head)
    warnings.push('The layout names no club_head: no instant can be found, so nothing was measured.');
  else if (!strike) warnings.push('The club head is not seen moving as in a swing: nothing was measured.');
  warnings.push(...(strike?.warnings ?? []));

  const addressFrame = strike?.address?.frame ?? null;
  const axes = labAxes(layout, named.targetFrom, named.targetTo, addressFrame);
  if (!axes.ok) return axes;
  const split = strike?.split ?? null;
  const gaps: (Gap & { landmark: string })[] = [];
  const trial = mapTracks(named.trial, (track, landmark) => {
    const filled = fillGaps(track, longest, split === null ? null : split + 1);
    gaps.push(...filled.gaps.map((gap) => ({ landmark, ...gap })));
    return toLab(filled.track, axes.value);
  });
  const ball = strike?.ball ? pointToLab(strike.ball, axes.value) : null;
  const smoothers = {
    body: createSmoother(options.bodyCutoffHz ?? DEFAULT_CUTOFF_HZ.body, rateHz),
    club: createSmoother(options.clubCutoffHz ?? DEFAULT_CUTOFF_HZ.club, rateHz),
  };
  warnings.push(...coarseWarnings(smoothers, rateHz));
  const noise = layout.markerNoise_mm === undefined ? null : layout.markerNoise_mm / 1000;
  const motion = createMotion(trial, split, options.filterThroughImpact ? null : split, smoothers, noise);
  const series = computeSeries(motion);
  const slow = slowMotion(trial, split, rateHz, noise);
  const choice: InstantChoice = { ...DEFAULT_CHOICE, ...options.instants };
  const impact = findImpact(motion, ball, strike?.ballGiven ?? false);
  const found = findAllInstants(strike, motion, series, slow, choice, impact.found);
  const instants = found.chosen;
  const impactFrame = 'instant' in impact.found ? impact.found.instant.frame : null;
  const problems = checkSides(motion, layout, addressFrame, impactFrame);
  if (problems.length > 0) return { ok: false, problems };

  const segments = segmentLengths(
    motion,
    Math.max(0, Math.floor(strike?.takeaway?.frame ?? 0)),
    Math.min(frames - 1, split ?? frames - 1),
  );
  warnings.push(
    ...missWarning(impact.miss_m),
    ...gapWarnings(gaps, rateHz),
    ...rigidityWarnings(segments, strike?.takeaway?.frame ?? 0, split),
  );
  const reader = createReader({
    motion,
    segments,
    instants,
    choice,
    ball,
    impactOtherVariance_s2: impact.otherVariance_s2,
  });
  const input = {
    motion,
    series,
    instants,
    reader,
    ball,
    ballGiven: strike?.ballGiven ?? false,
    definitions: chooseDefinitions(motion),
  };
  const beside = options.columnsOnly
    ? NOTHING_BESIDE
    : besideColumns(input, segments, { ...DEFAULT_PLANE, ...options.plane });
  const { columns, quantities } = columnsOf(computeMetrics(input), beside.quantities, warnings);
  const order = describeInstants(instants, firstFrame, rateHz);
  warnings.push(...order.warnings);
  return {
    ok: true,
    value: {
      swing: columns,
      instants: Object.fromEntries(
        Object.entries(order.reports).map(([name, report]) => [name, report.time_s]),
      ),
      instantDetails: order.reports,
      alternativeInstants: options.columnsOnly
        ? {}
        : describeAlternatives(instants, found.others(), firstFrame, rateHz),
      perInstant: beside.perInstant,
      quantities,
      swingPlanes: beside.swingPlanes,
      processing: {
        rateHz,
        bodyCutoffHz: smoothers.body.filter ? smoothers.body.cutoffHz : null,
        clubCutoffHz: smoothers.club.filter ? smoothers.club.cutoffHz : null,
        filteredThroughImpact: options.filterThroughImpact ?? false,
        ball: strike?.ballGiven ? 'given' : ball ? 'head at address' : 'unknown',
        definitions: choice,
        segmentDefinitions: {
          pelvisTurn: input.definitions.pelvis.definition,
          thoraxTurn: input.definitions.thorax.definition,
          shoulder: input.definitions.elbow?.shoulder ?? null,
        },
        noise_mm: Object.fromEntries(
          [...motion.landmarks].map(([name, l]) => [name, Math.sqrt(l.noiseVariance) * 1000]),
        ),
        gaps,
        segments: segments.map((s) => ({
          from: s.pair[0],
          to: s.pair[1],
          length_mm: s.usual_m * 1000,
          largestChange_mm: largestChange(s, strike?.takeaway?.frame ?? 0, split ?? frames - 1) * 1000,
        })),
      },
      warnings,
    },
  };
}

/** The landmarks that tell the top, filtered as slowly as the movement there is. */
function slowMotion(trial: Trial, split: number | null, rateHz: number, noise: number | null): Motion {
  const names = ['grip', 'club_head', 'lead_shoulder', 'lead_wrist', 'lead_hip', 'trail_hip'];
  const tracks = new Map([...trial.tracks].filter(([name]) => names.includes(name)));
  const smoother = createSmoother(TOP_CUTOFF_HZ, rateHz);
  return createMotion({ ...trial, tracks }, split, split, { club: smoother, body: smoother }, noise);
}

/** The ball: a channel where it lay at the start of the capture, or the point the layout gives. */
function ballOf({ trial, ball }: NamedChannels): Vector | null {
  const track = trial.tracks.get('ball');
  if (!track) return ball;
  const first = track.x.findIndex((v) => !Number.isNaN(v));
  return first < 0 ? ball : pointOf(track, first);
}
