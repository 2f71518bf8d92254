import type { SegmentLength } from '../cleaning/rigidity.ts';
import { INSTANT_NAMES, type InstantName } from '../instants/instant.ts';
import type { InstantReadings, InstantReport } from '../measurement.ts';
import { FLEXION, flexionOf, LAG, lagOf, leanOf, SHAFT } from './quantities.ts';
import type { FoundInstants, Outcome, Reader } from './reader.ts';

/** Columns of the swings table with `_sd` beside each; what is missing is null and adds a warning. */
export function columnsOf(
  outcomes: Readonly<Record<string, Outcome>>,
  warnings: string[],
): Record<string, number | null> {
  const columns: Record<string, number | null> = {};
  const reasons = new Map<string, string[]>();
  for (const [column, outcome] of Object.entries(outcomes)) {
    const good = 'reading' in outcome && Number.isFinite(outcome.reading.value);
    columns[column] = good ? outcome.reading.value : null;
    columns[`${column}_sd`] = good && Number.isFinite(outcome.reading.sd) ? outcome.reading.sd : null;
    if (good) continue;
    const reason = 'missing' in outcome ? outcome.missing : 'the landmarks coincide';
    reasons.set(reason, [...(reasons.get(reason) ?? []), column]);
  }
  for (const [reason, missing] of reasons) warnings.push(`Not measured: ${missing.join(', ')} (${reason}).`);
  return columns;
}

/** The instants that were found, in seconds from impact, and warnings about those that are missing or out of order. */
export function describeInstants(
  instants: FoundInstants,
  firstFrame: number,
  rateHz: number,
): { readonly reports: Partial<Record<InstantName, InstantReport>>; readonly warnings: string[] } {
  const warnings: string[] = [];
  const reports: Partial<Record<InstantName, InstantReport>> = {};
  const zero = 'instant' in instants.impact ? instants.impact.instant.frame : 0;
  let last: { name: InstantName; frame: number } | null = null;
  for (const name of INSTANT_NAMES) {
    const found = instants[name];
    if ('missing' in found) {
      warnings.push(`No ${name}: ${found.missing}.`);
      continue;
    }
    const { frame, sd_s } = found.instant;
    if (last && frame <= last.frame)
      warnings.push(`${name} comes out before ${last.name}: look at the capture before using either.`);
    last = { name, frame };
    reports[name] = {
      time_s: (frame - zero) / rateHz,
      frame: frame + firstFrame,
      sd_s,
      uncertainty_s: Math.max(0.5 / rateHz, 1.96 * sd_s),
    };
  }
  return { reports, warnings };
}

/** Trail elbow flexion, lag angle and shaft lean at every instant. */
export function readingsAtInstants(
  instants: FoundInstants,
  reader: Reader,
): Partial<Record<InstantName, InstantReadings>> {
  const out: Partial<Record<InstantName, InstantReadings>> = {};
  for (const name of INSTANT_NAMES) {
    if ('missing' in instants[name]) continue;
    const values = (outcome: Outcome): [number | null, number | null] =>
      'reading' in outcome ? [outcome.reading.value, outcome.reading.sd] : [null, null];
    const [flexion, flexionSd] = values(reader.at(name, FLEXION, flexionOf));
    const [lag, lagSd] = values(reader.at(name, LAG, lagOf));
    const [lean, leanSd] = values(reader.at(name, SHAFT, leanOf));
    out[name] = {
      trail_elbow_flexion_deg: flexion,
      trail_elbow_flexion_deg_sd: flexionSd,
      lag_deg: lag,
      lag_deg_sd: lagSd,
      shaft_lean_deg: lean,
      shaft_lean_deg_sd: leanSd,
    };
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
