import type { Stream } from '../../numerics/index.ts';

/** Blocks hold each arm this many times, one of the three at random, so that the end of a block cannot be guessed. */
export const TIMES_IN_A_BLOCK = [1, 2, 3] as const;

/**
 * Arms in permuted blocks of varying size: each block holds every arm equally often, in an order of which all are
 * equally likely. At the end of a block the arms are level; within one they differ by at most three.
 * Source: Matts and Lachin 1988, Controlled Clinical Trials 9:327-344.
 *
 * @param stream a stream of the stratum's own
 * @param least at least so many entries; the last block is whole
 * @throws Error for fewer than two arms
 * @example
 * const [block] = blockedArms(createStream(7, 'x'), ['drill', 'control'], 1);
 * [2, 4, 6].includes(block!.length) // true
 * block!.filter((arm) => arm === 'drill').length === block!.length / 2 // true
 */
export function blockedArms(stream: Stream, arms: readonly string[], least: number): string[][] {
  if (arms.length < 2) throw new Error('blockedArms: needs two arms or more to choose between.');
  const blocks: string[][] = [];
  for (let made = 0; made < least; made += blocks.at(-1)!.length) {
    const times = stream.choice(TIMES_IN_A_BLOCK);
    blocks.push(stream.shuffle(Array.from({ length: times }, () => arms).flat()));
  }
  return blocks;
}
