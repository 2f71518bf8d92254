/** A second-order recursive filter: y_n = b0 x_n + b1 x_{n-1} + b2 x_{n-2} - a1 y_{n-1} - a2 y_{n-2}. */
export interface SecondOrderFilter {
  readonly b: readonly [number, number, number];
  readonly a: readonly [1, number, number];
}

/**
 * Low-pass Butterworth filter of second order by the bilinear transform with a pre-warped cut-off.
 *
 * With K = tan(pi fc / fs) and D = 1 + sqrt(2) K + K^2:
 * b = K^2 / D [1, 2, 1], a = [1, 2 (K^2 - 1) / D, (1 - sqrt(2) K + K^2) / D].
 *
 * @param cutoffHz frequency at which one pass lets 1/sqrt(2) of the amplitude through, Hz
 * @param rateHz sampling rate, Hz
 * @throws RangeError unless 0 < cutoffHz < rateHz / 2
 * @see Winter DA (2009) Biomechanics and Motor Control of Human Movement, 4th ed., section 3.4.4
 * @example butterworthLowPass(6, 240).b[0] // 0.005542717210280682
 */
export function butterworthLowPass(cutoffHz: number, rateHz: number): SecondOrderFilter {
  if (!(cutoffHz > 0 && cutoffHz < rateHz / 2))
    throw new RangeError(
      `butterworthLowPass: the cut-off must lie between 0 and half the sampling rate (${rateHz / 2} Hz), not ${cutoffHz} Hz`,
    );
  const k = Math.tan((Math.PI * cutoffHz) / rateHz);
  const d = 1 + Math.SQRT2 * k + k * k;
  const b0 = (k * k) / d;
  return { b: [b0, 2 * b0, b0], a: [1, (2 * (k * k - 1)) / d, (1 - Math.SQRT2 * k + k * k) / d] };
}

/**
 * The cut-off to design one pass with, so that the pass forwards and backwards together let exactly
 * 1/sqrt(2) of the amplitude through at `cutoffHz`: fd = fs / pi atan(tan(pi fc / fs) / C), with
 * C = (sqrt(2) - 1)^(1/4). The usual fc / C is the limit of this for fc far below fs; the warped form is
 * exact at every rate.
 *
 * @example twoPassDesignCutoff(6, 240) // 7.470540066248438
 */
export function twoPassDesignCutoff(cutoffHz: number, rateHz: number): number {
  const c = (Math.SQRT2 - 1) ** 0.25;
  return (rateHz / Math.PI) * Math.atan(Math.tan((Math.PI * cutoffHz) / rateHz) / c);
}

/**
 * Runs a filter forwards and backwards over a signal, which leaves no lag. Both ends are continued by odd
 * reflection (2 x_0 - x_k) over `pad` samples and each pass starts in the steady state of its first value, so
 * that a constant passes unchanged. With a pad far longer than the filter's memory a straight line does too, and
 * the first and last sample come back as they were: the reflection is odd about them, the two passes even.
 *
 * @param pad samples of reflection; at most signal.length - 1 are used
 * @returns a new array as long as the signal; shorter signals than three samples are returned as a copy
 * @example
 * const wave = Float64Array.from({ length: 2401 }, (_, i) => Math.cos((2 * Math.PI * 6 * i) / 240)); // 6 Hz
 * filterTwoPass(wave, butterworthLowPass(twoPassDesignCutoff(6, 240), 240), 240)[1200] // 0.7071, 1 / sqrt(2) at the cut-off
 */
export function filterTwoPass(signal: Float64Array, filter: SecondOrderFilter, pad: number): Float64Array {
  const n = signal.length;
  if (n < 3) return Float64Array.from(signal);
  const p = Math.min(pad, n - 1);
  const work = new Float64Array(n + 2 * p);
  const first = signal[0]!;
  const last = signal[n - 1]!;
  for (let i = 0; i < p; i++) {
    work[i] = 2 * first - signal[p - i]!;
    work[p + n + i] = 2 * last - signal[n - 2 - i]!;
  }
  work.set(signal, p);
  filterInPlace(work, filter);
  return work.slice(p, p + n);
}

/**
 * Runs a filter forwards and backwards over a signal in place, without continuing its ends. Each pass starts in the
 * steady state of its first value.
 *
 * @example
 * const signal = new Float64Array(50).fill(3);
 * filterInPlace(signal, butterworthLowPass(twoPassDesignCutoff(20, 240), 240));
 * signal[25] // 3: what does not change passes
 */
export function filterInPlace(x: Float64Array, { b, a }: SecondOrderFilter): void {
  const [b0, b1, b2] = b;
  const [, a1, a2] = a;
  const n = x.length;
  // Transposed direct form II. Steady state for a unit input: gain one, so z2 = b2 - a2 and z1 = b1 - a1 + z2.
  const [start1, start2] = [b1 - a1 + b2 - a2, b2 - a2];
  let z1 = start1 * x[0]!;
  let z2 = start2 * x[0]!;
  for (let i = 0; i < n; i++) {
    const input = x[i]!;
    const output = b0 * input + z1;
    z1 = b1 * input - a1 * output + z2;
    z2 = b2 * input - a2 * output;
    x[i] = output;
  }
  z1 = start1 * x[n - 1]!;
  z2 = start2 * x[n - 1]!;
  for (let i = n - 1; i >= 0; i--) {
    const input = x[i]!;
    const output = b0 * input + z1;
    z1 = b1 * input - a1 * output + z2;
    z2 = b2 * input - a2 * output;
    x[i] = output;
  }
}
