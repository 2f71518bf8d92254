import { checkScale } from './check-scale.ts';
import { checkSides } from './check-sides.ts';
import { segmentLengths } from './cleaning/rigidity.ts';
import { downswingCurves } from './downswing-curves.ts';
import { findAllInstants } from './instants/find-all.ts';
import { findImpact } from './instants/impact.ts';
import type { Layout } from './layout/layout.ts';
import type { NamedChannels } from './layout/name-channels.ts';
import {
  coarseWarnings,
  cutoffWarnings,
  gapWarnings,
  missWarning,
  repairWarnings,
  rigidityWarnings,
} from './measure-warnings.ts';
import type { Measurement, MeasureOptions } from './measurement.ts';
import { besideColumns, NOTHING_BESIDE } from './metrics/beside-columns.ts';
import { computeMetrics } from './metrics/compute-metrics.ts';
import { chooseDefinitions } from './metrics/definitions.ts';
import { createReader } from './metrics/reader.ts';
import { columnsOf, describeAlternatives, describeInstants } from './metrics/report.ts';
import { DEFAULT_PLANE } from './metrics/swing-plane.ts';
import { prepareTrial } from './prepare-trial.ts';
import type { CaptureResult } from './problem.ts';
import { chooseProcessing } from './processing-options.ts';
import { processingRecord } from './processing-record.ts';
import { computeSeries } from './series.ts';

/**
 * Measures one swing from named channels: gaps, axes, filter, instants, metrics, uncertainty.
 *
 * @param firstFrame number of the capture's first frame, only for reporting
 * @returns problems when the layout contradicts the swing (target, hand or sides the wrong way round); a metric
 *   that cannot be computed is null, and a warning says why
 * @example
 * // The simulated swing, against the shaft lean of the model that it was made by
 * const layout = JSON.parse(readFileSync('layout.json', 'utf8'));
 * const read = readCapture(readFileSync('swing.c3d'));
 * const named = read.ok && nameChannels(read.value.capture, layout);
 * const measured = named && named.ok && measureTrial(named.value, layout, 1);
 * const truth = JSON.parse(readFileSync('synthetic/swing/simulated/truth.json', 'utf8')).metrics.shaft_lean_impact_deg;
 * measured && measured.ok && Math.abs(measured.value.swing.shaft_lean_impact_deg! - truth) < 0.5 // true
 */
export function measureTrial(
  named: NamedChannels,
  layout: Layout,
  firstFrame: number,
  options: MeasureOptions = {},
): CaptureResult<Measurement> {
  const { rateHz, frames } = named.trial;
  const warnings = [...named.warnings];
  const prepared = prepareTrial(named, layout, chooseProcessing(layout, options));
  if (!prepared.ok) return prepared;
  const { processing, strike, ball, motion, slow, repairs, gaps } = prepared.value;
  const choice = processing.instants;
  const { split } = motion;
  if (!motion.landmarks.has('club_head'))
    warnings.push('The layout names no club_head: no instant can be found, so nothing was measured.');
  else if (!strike) warnings.push('The club head is not seen moving as in a swing: nothing was measured.');
  warnings.push(
    ...(strike?.warnings ?? []),
    ...coarseWarnings(motion),
    ...cutoffWarnings(motion, processing),
  );
  const series = computeSeries(motion);
  const impact = findImpact(motion, ball, strike?.ballGiven ?? false);
  const found = findAllInstants(strike, motion, series, slow, choice, impact.found);
  const instants = found.chosen;
  const impactFrame = 'instant' in impact.found ? impact.found.instant.frame : null;
  const addressFrame = strike?.address?.frame ?? null;
  const scale = checkScale(motion, layout, addressFrame);
  // Which side is which cannot be told before the size is right.
  const problems = scale.length > 0 ? scale : checkSides(motion, layout, addressFrame, impactFrame);
  if (problems.length > 0) return { ok: false, problems };

  const segments = segmentLengths(
    motion,
    Math.max(0, Math.floor(strike?.takeaway?.frame ?? 0)),
    Math.min(frames - 1, split ?? frames - 1),
  );
  warnings.push(
    ...missWarning(impact.miss_m),
    ...repairWarnings(repairs, firstFrame),
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
    : besideColumns(input, segments, {
        ...DEFAULT_PLANE,
        ...layout.swingPlane,
        ...options.plane,
      });
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
      ...(options.curves ? { curves: downswingCurves(motion, series, instants) } : {}),
      processing: {
        ...processingRecord(prepared.value, segments, layout.markerNoise_mm !== undefined, firstFrame),
        definitions: choice,
        segmentDefinitions: {
          pelvisTurn: input.definitions.pelvis.definition,
          thoraxTurn: input.definitions.thorax.definition,
          shoulder: input.definitions.elbow?.shoulder ?? null,
        },
      },
      warnings,
    },
  };
}
