/**
 * Thresholds and the free parameters that keep them ascending: the first threshold, then the logarithms of the gaps.
 * `parameters` may hold more after them.
 */
export function thresholdsOf(parameters: Float64Array, count: number): Float64Array {
  const out = new Float64Array(count);
  for (let k = 0; k < count; k++) out[k] = k === 0 ? parameters[0]! : out[k - 1]! + Math.exp(parameters[k]!);
  return out;
}

export function thresholdParametersOf(thresholds: Float64Array): Float64Array {
  return thresholds.map((value, k) => (k === 0 ? value : Math.log(value - thresholds[k - 1]!)));
}

/** Writes the derivatives by the parameters, given those by the thresholds, to the first places of `out`. */
export function toThresholdParameters(
  parameters: Float64Array,
  byThreshold: Float64Array,
  out: Float64Array,
): void {
  let later = 0;
  for (let k = byThreshold.length - 1; k >= 0; k--) {
    later += byThreshold[k]!;
    out[k] = k === 0 ? later : later * Math.exp(parameters[k]!);
  }
}
