/** Throws unless `p` is a probability (NaN passes: a missing p has a missing quantile). */
export function requireProbability(caller: string, p: number): void {
  if (p < 0 || p > 1) throw new RangeError(`${caller}: the probability must lie in [0, 1]; found ${p}.`);
}

/** Throws unless every parameter is above zero. */
export function requirePositive(caller: string, parameters: Readonly<Record<string, number>>): void {
  for (const [name, value] of Object.entries(parameters))
    if (!(value > 0)) throw new RangeError(`${caller}: ${name} must be above zero; found ${value}.`);
}
