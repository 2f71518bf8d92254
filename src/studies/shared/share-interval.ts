import { normalQuantile } from '../../numerics/index.ts';

/**
 * Wilson's interval of a share: within 0 and 1, and wider than nothing when all or none were found (Wilson 1927, J Am Stat
 * Assoc 22:209-212, https://doi.org/10.1080/01621459.1927.10502953).
 *
 * @param share 0 to 1
 * @param of how many it was counted in; an effective number need not be whole
 * @param level of the interval
 * @example shareInterval(0.95, 2000, 0.95) // [0.9396, 0.9587]
 */
export function shareInterval(share: number, of: number, level: number): [number, number] {
  const z2 = normalQuantile((1 + level) / 2) ** 2;
  const middle = (share + z2 / (2 * of)) / (1 + z2 / of);
  const reach = (Math.sqrt(z2) / (1 + z2 / of)) * Math.sqrt((share * (1 - share)) / of + z2 / (4 * of * of));
  return [share === 0 ? 0 : middle - reach, share === 1 ? 1 : middle + reach];
}
