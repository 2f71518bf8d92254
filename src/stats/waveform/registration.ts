/**
 * Piecewise linear registration: each curve's own instants are laid on common ones, and time between them is stretched
 * evenly (Kneip and Gasser 1992, Ann Stat 20:1266; Ramsay and Silverman 2005, Functional Data Analysis, 7.3). It takes
 * out when things happen and leaves how large they are; what is then compared is the curve between like instants, and
 * differences in timing must be looked at beside it.
 *
 * @param common times of the instants on the common axis, rising
 * @param own times of the same instants on the curve's own axis, rising
 * @param at a time on the common axis
 * @returns the time on the curve's own axis; beyond the ends, the first and last stretch go on
 * @throws RangeError when the two lists differ in length, have fewer than two instants or do not rise
 * @example ownTime([0, 50, 100], [0, 60, 100], 25) // 30
 */
export function ownTime(common: readonly number[], own: readonly number[], at: number): number {
  if (common.length < 2 || own.length !== common.length)
    throw new RangeError('ownTime: give the same two or more instants on both axes');
  for (const times of [common, own])
    for (let k = 1; k < times.length; k++)
      if (!(times[k]! > times[k - 1]!))
        throw new RangeError(`ownTime: instants must rise; found ${times[k - 1]} before ${times[k]}`);
  let k = 1;
  while (k < common.length - 1 && at > common[k]!) k += 1;
  const share = (at - common[k - 1]!) / (common[k]! - common[k - 1]!);
  return own[k - 1]! + share * (own[k]! - own[k - 1]!);
}
