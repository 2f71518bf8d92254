import { count } from './words.ts';

/** What a reader must know of an answer from sums: nobody judged the swings one by one. */
export function summedCaution(swings: number): string {
  return `The ${count(swings, 'swing')} were summed by session where they are and not judged one by one: ids that stand twice, and what stands in columns that this answer does not use, were not looked at. The command check looks at every swing; where they are too many to be read, let it look at a part of the golfers.`;
}
