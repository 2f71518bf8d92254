import type { Stream } from '../../../numerics/index.ts';

/**
 * A draw from the chi-squared distribution with `df` >= 0 degrees of freedom (zero for df = 0): twice a gamma draw of
 * shape df / 2, whose shape is raised by one below 1.
 * Source: Marsaglia and Tsang (2000), ACM Transactions on Mathematical Software 26, 363-372.
 */
export function drawChiSquared(stream: Stream, df: number): number {
  if (df === 0) return 0;
  const shape = df / 2;
  if (shape < 1) return drawChiSquared(stream, df + 2) * stream.uniform() ** (1 / shape);
  const d = shape - 1 / 3;
  const c = 1 / Math.sqrt(9 * d);
  for (;;) {
    const x = stream.normal();
    const v = (1 + c * x) ** 3;
    if (v <= 0) continue;
    const u = stream.uniform();
    if (Math.log(u) < 0.5 * x * x + d - d * v + d * Math.log(v)) return 2 * d * v;
  }
}
