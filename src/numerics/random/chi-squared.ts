import type { Stream } from './stream.ts';

/**
 * One draw from a chi-squared distribution: twice a gamma draw of shape df/2, by squeezing a cube of a normal
 * (Marsaglia and Tsang 2000, ACM Trans Math Softw 26:363-372), raised by a power of a uniform below shape 1.
 *
 * @param df degrees of freedom, > 0
 * @throws RangeError when df is not a positive number
 * @example chiSquaredDraw(createStream(1), 10) > 0 // true; 10 on average
 */
export function chiSquaredDraw(stream: Stream, df: number): number {
  if (!(df > 0 && Number.isFinite(df)))
    throw new RangeError(`chiSquaredDraw: degrees of freedom must be positive; found ${df}.`);
  const shape = df / 2;
  if (shape < 1) {
    let u = stream.uniform();
    while (u === 0) u = stream.uniform();
    return chiSquaredDraw(stream, df + 2) * u ** (1 / shape);
  }
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
