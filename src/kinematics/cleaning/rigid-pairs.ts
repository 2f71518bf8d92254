import type { Track } from '../trial.ts';

/** Pairs of landmarks on one rigid segment. */
export const RIGID_PAIRS: readonly (readonly [string, string])[] = [
  ['trail_shoulder', 'trail_elbow'],
  ['trail_elbow', 'trail_wrist'],
  ['lead_shoulder', 'lead_elbow'],
  ['lead_elbow', 'lead_wrist'],
  ['grip', 'club_head'],
];

/** Every two landmarks that should stay equally far apart: those of arms and club, and those of the layout's rigid segments. */
export function rigidPairsWith(
  rigidSegments: Readonly<Record<string, readonly string[]>>,
): readonly (readonly [string, string])[] {
  const within = Object.values(rigidSegments).flatMap((names) =>
    names.flatMap((a, i) => names.slice(i + 1).map((b) => [a, b] as const)),
  );
  return [...RIGID_PAIRS, ...within];
}

/** Distance of two landmarks frame by frame, m; NaN where one was not seen. */
export function distances(a: Track, b: Track): Float64Array {
  const out = new Float64Array(a.x.length);
  for (let i = 0; i < out.length; i++) {
    const [x, y, z] = [a.x[i]! - b.x[i]!, a.y[i]! - b.y[i]!, a.z[i]! - b.z[i]!];
    out[i] = Math.sqrt(x * x + y * y + z * z);
  }
  return out;
}
