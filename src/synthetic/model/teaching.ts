import type { Stream } from '../../numerics/index.ts';
import type { Recipe } from '../recipe/recipe.ts';
import type { Golfer } from './golfer.ts';
import { MODELLED_METRICS } from './modelled-metrics.ts';

/** Who teaches whom, and what comes of it. */
export interface Teaching {
  /** One for each golfer. */
  readonly instructors: readonly string[];
  /** What each instructor's pupils gain by post in the planted metric, over and above practice. */
  readonly effects: ReadonlyMap<string, number>;
  /** The golfer with the gain of the instructor's teaching. */
  taught(golfer: Golfer, at: number): Golfer;
}

/** Deal golfers to instructors and draw the instructors' effects; null where the recipe has no teaching. */
export function teach(
  { teaching, roster }: Recipe,
  handicaps: readonly number[],
  stream: Stream,
): Teaching | null {
  if (teaching === undefined) return null;
  const noise = stream.sub('who goes to whom');
  const order = handicaps
    .map((handicap, at) => ({ at, score: noise.normal(handicap, teaching.handicapNoise) }))
    .sort((a, b) => a.score - b.score);
  const places: readonly string[] = teaching.betterPlayersFirst.flatMap((number) =>
    Array<string>(teaching.pupils[number - 1]!).fill(`I${number}`),
  );
  const instructors = new Array<string>(handicaps.length);
  order.forEach(({ at }, rank) => {
    instructors[at] = places[rank]!;
  });
  const chance = stream.sub('effects');
  const effects = new Map<string, number>(
    teaching.pupils.map((_, at) => [`I${at + 1}`, chance.normal(0, teaching.effectSd) + 0]),
  );
  const metric = MODELLED_METRICS.indexOf(teaching.metric);
  return {
    instructors,
    effects,
    taught(golfer, at) {
      const gain =
        effects.get(instructors[at]!)! + teaching.gainPerStroke * (golfer.handicap - roster.handicap.mean);
      const practiceResponse = Float64Array.from(golfer.practiceResponse);
      practiceResponse[metric]! += gain;
      return { ...golfer, practiceResponse };
    },
  };
}
