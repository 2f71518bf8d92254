import type { SegmentLength } from '../cleaning/rigidity.ts';
import type { OtherInstants } from '../instants/find-all.ts';
import { type Found, INSTANT_NAMES, type Instant, type InstantName } from '../instants/instant.ts';
import type { InstantKey, InstantReadings, InstantReport, Measurement } from '../measurement.ts';
import { lagPlaneAt } from './compute-quantities.ts';
import type { MetricInput } from './downswing.ts';
import {
  FLEXION,
  flexionFaceOnOf,
  flexionOf,
  handSpeedOf,
  LAG,
  lagFaceOnOf,
  lagOf,
  leanOf,
  SHAFT,
} from './quantities.ts';
import type { FoundInstants, Outcome } from './reader.ts';
import type { FoundPlane } from './swing-plane.ts';

/**
 * Columns of the swings table and the quantities beside them, each with `_sd`; what is missing is null, and a warning
 * says why for both together.
 */
export function columnsOf(
  metrics: Readonly<Record<string, Outcome>>,
  quantities: Readonly<Record<string, Outcome>>,
  warnings: string[],
): Record<'columns' | 'quantities', Record<string, number | null>> {
  const reasons = new Map<string, string[]>();
  const out = { columns: numbersOf(metrics, reasons), quantities: numbersOf(quantities, reasons) };
  for (const [reason, missing] of reasons) warnings.push(`Not measured: ${missing.join(', ')} (${reason}).`);
  return out;
}

function numbersOf(
  outcomes: Readonly<Record<string, Outcome>>,
  reasons: Map<string, string[]>,
): Record<string, number | null> {
  const numbers: Record<string, number | null> = {};
  for (const [key, outcome] of Object.entries(outcomes)) {
    const good = 'reading' in outcome && Number.isFinite(outcome.reading.value);
    numbers[key] = good ? outcome.reading.value : null;
    numbers[`${key}_sd`] = good && Number.isFinite(outcome.reading.sd) ? outcome.reading.sd : null;
    if (good) continue;
    const reason = 'missing' in outcome ? outcome.missing : 'the landmarks coincide';
    reasons.set(reason, [...(reasons.get(reason) ?? []), key]);
  }
  return numbers;
}

/** The instants that were found, in seconds from impact, and warnings about those that are missing or out of order. */
export function describeInstants(
  instants: FoundInstants,
  firstFrame: number,
  rateHz: number,
): { readonly reports: Partial<Record<InstantName, InstantReport>>; readonly warnings: string[] } {
  const warnings: string[] = [];
  const reports: Partial<Record<InstantName, InstantReport>> = {};
  let last: { name: InstantName; frame: number } | null = null;
  for (const name of INSTANT_NAMES) {
    const found = instants[name];
    if ('missing' in found) {
      warnings.push(`No ${name}: ${found.missing}.`);
      continue;
    }
    const { frame } = found.instant;
    if (last && frame <= last.frame)
      warnings.push(`${name} comes out before ${last.name}: look at the capture before using either.`);
    last = { name, frame };
    reports[name] = reportOf(found.instant, zeroOf(instants), firstFrame, rateHz);
  }
  return { reports, warnings };
}

/** The instants by the definitions that were not chosen; those that were not found are left out. */
export function describeAlternatives(
  instants: FoundInstants,
  others: OtherInstants,
  firstFrame: number,
  rateHz: number,
): Measurement['alternativeInstants'] {
  const described = (found: Readonly<Record<string, Found>>) =>
    Object.fromEntries(
      Object.entries(found).flatMap(([way, one]) =>
        'instant' in one ? [[way, reportOf(one.instant, zeroOf(instants), firstFrame, rateHz)]] : [],
      ),
    );
  return Object.fromEntries(Object.entries(others).map(([name, found]) => [name, described(found)]));
}

/** Frame from which times are counted: impact, or the start of the capture where that is missing. */
function zeroOf({ impact }: FoundInstants): number {
  return 'instant' in impact ? impact.instant.frame : 0;
}

function reportOf({ frame, sd_s }: Instant, zero: number, firstFrame: number, rateHz: number): InstantReport {
  return {
    time_s: (frame - zero) / rateHz,
    frame: frame + firstFrame,
    sd_s,
    uncertainty_s: Math.max(0.5 / rateHz, 1.96 * sd_s),
  };
}

/** What is read at every instant that was found. */
export function readingsAtInstants(
  { instants, reader, definitions }: MetricInput,
  plane: FoundPlane,
): Partial<Record<InstantName, InstantReadings>> {
  const { pelvis, thorax, elbow } = definitions;
  const out: Partial<Record<InstantName, InstantReadings>> = {};
  for (const name of INSTANT_NAMES) {
    if ('missing' in instants[name]) continue;
    const readings: Record<InstantKey, Outcome> = {
      trail_elbow_flexion_deg: reader.at(name, FLEXION, flexionOf),
      trail_elbow_flexion_isb_deg: elbow
        ? reader.at(name, elbow.landmarks, elbow.measure)
        : { missing: 'epicondyles and styloids are not named' },
      trail_elbow_flexion_face_on_deg: reader.at(name, FLEXION, flexionFaceOnOf),
      lag_deg: reader.at(name, LAG, lagOf),
      lag_plane_deg: lagPlaneAt(reader, plane, name),
      lag_face_on_deg: reader.at(name, LAG, lagFaceOnOf),
      shaft_lean_deg: reader.at(name, SHAFT, leanOf),
      pelvis_turn_deg: reader.at(name, pelvis.landmarks, pelvis.measure),
      thorax_turn_deg: reader.at(name, thorax.landmarks, thorax.measure),
      hand_speed_mps: reader.at(name, ['grip'], handSpeedOf),
    };
    out[name] = numbersOf(readings, new Map()) as InstantReadings;
  }
  return out;
}

/** The change of a segment's length that is furthest from zero, takeaway to impact, m. */
export function largestChange(segment: SegmentLength, takeaway: number, split: number): number {
  let most = 0;
  for (let i = Math.max(0, Math.floor(takeaway)); i <= split; i++) {
    const d = segment.deviation[i]!;
    if (Math.abs(d) > Math.abs(most)) most = d;
  }
  return most;
}
