import { createHash } from 'node:crypto';
import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { uniformInt } from 'pure-rand/distribution/uniformInt';
import { xoroshiro128plusFromState } from 'pure-rand/generator/xoroshiro128plus';
import { normalQuantile } from '../distributions/normal.ts';

/**
 * A seeded source of random numbers. Drawing changes its state; nothing else does.
 */
export interface Stream {
  /** A number in [0, 1), in steps of 2^-53. */
  uniform(): number;
  /** A normal number by inversion of the distribution function, one uniform each. Mean 0 and SD 1 unless given. */
  normal(mean?: number, sd?: number): number;
  /** true with probability p. */
  bernoulli(p: number): boolean;
  /** A whole number from `from` to `to`, both included. */
  integer(from: number, to: number): number;
  /** One of the items, each equally likely. Throws on an empty list. */
  choice<T>(items: readonly T[]): T;
  /** The items in random order, as a new array; every order is equally likely (Fisher and Yates). */
  shuffle<T>(items: readonly T[]): T[];
  /**
   * The sub-stream of that name. It depends on the seed and the names alone, never on what has been drawn,
   * so work split over any number of workers gives the same numbers.
   */
  sub(...path: readonly (string | number)[]): Stream;
}

/**
 * The stream of a seed, or of a named or numbered part of it. The 128-bit starting state of a
 * xoroshiro128+ generator is the head of the SHA-256 of seed and path, so that sub-streams of one seed are as
 * unrelated as the hash makes them.
 *
 * @param seed any whole number of up to 53 bits
 * @param path names or indices of the part, such as `'golfer', 12`
 * @throws RangeError when the seed is no whole number
 * @see Blackman D, Vigna S. Scrambled linear pseudorandom number generators. ACM Trans Math Softw 2021;47(4):36.
 * @example createStream(7, 'swings', 3).uniform() === createStream(7).sub('swings').sub(3).uniform() // true
 */
export function createStream(seed: number, ...path: readonly (string | number)[]): Stream {
  if (!Number.isSafeInteger(seed))
    throw new RangeError(`createStream: the seed must be a whole number of up to 53 bits; found ${seed}.`);
  const generator = xoroshiro128plusFromState(startingState(seed, path));

  const uniform = () => uniformFloat64(generator);
  const integer = (from: number, to: number) => {
    if (!Number.isSafeInteger(from) || !Number.isSafeInteger(to) || to < from)
      throw new RangeError(`Stream.integer: need whole numbers from <= to; found ${from} and ${to}.`);
    return uniformInt(generator, from, to);
  };
  return {
    uniform,
    integer,
    normal(mean = 0, sd = 1) {
      let u = uniform();
      while (u === 0) u = uniform();
      return mean + sd * normalQuantile(u);
    },
    bernoulli: (p) => uniform() < p,
    choice<T>(items: readonly T[]): T {
      if (items.length === 0)
        throw new RangeError('Stream.choice: nothing to choose from; give at least one item.');
      return items[integer(0, items.length - 1)] as T;
    },
    shuffle<T>(items: readonly T[]): T[] {
      const order = [...items];
      for (let last = order.length - 1; last > 0; last--) {
        const other = integer(0, last);
        const kept = order[last] as T;
        order[last] = order[other] as T;
        order[other] = kept;
      }
      return order;
    },
    sub: (...more) => createStream(seed, ...path, ...more),
  };
}

function startingState(seed: number, path: readonly (string | number)[]): number[] {
  const digest = createHash('sha256')
    .update(JSON.stringify([seed, ...path]))
    .digest();
  return [0, 4, 8, 12].map((at) => digest.readInt32LE(at));
}
