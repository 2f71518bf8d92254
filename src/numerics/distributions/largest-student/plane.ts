import { integrateInterval } from '../../integrate/integrate-interval.ts';
import { radialTail } from './radial-tail.ts';

/** Rank 2: the direction is an angle, and between neighbouring rows one of them is the largest. */
export function planeUpper(c: number, rows: readonly Float64Array[], df: number): number {
  const angles = [
    ...new Set(rows.map((row) => ((Math.atan2(row[1]!, row[0]!) % Math.PI) + Math.PI) % Math.PI)),
  ].sort((a, b) => a - b);
  let sum = 0;
  angles.forEach((angle, i) => {
    const next = i + 1 < angles.length ? angles[i + 1]! : angles[0]! + Math.PI;
    const half = (next - angle) / 2;
    // From each of the two rows to the middle between them; both halves are alike.
    if (half > 1e-14) sum += 2 * integrateInterval((x) => radialTail(c / Math.cos(x), 2, df), half);
  });
  return sum / Math.PI;
}
