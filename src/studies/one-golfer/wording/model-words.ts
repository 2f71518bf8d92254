import type { Answers } from '../analysis/answers.ts';
import type { GolferSeries } from '../input/series.ts';

/** The model in words and as objects. */
export function modelWords(
  { change, randomisation, noise, level, seed }: Answers,
  series: readonly GolferSeries[],
): { readonly words: string; readonly objects: readonly unknown[] } {
  const several = series.length > 1;
  const change_ = {
    series: `Each session mean is ${several ? "its golfer's" : 'a'} level, plus the change under B${several ? ', the same for all of them' : ''}, plus an error that is like that of the session before to a degree that is not known (first-order autoregression; sessions taken as equally spaced). The change is found by generalised least squares under every correlation of neighbours from -0.95 to 0.95, and these are averaged by their restricted likelihood. It assumes that the change comes at once and stays, that nothing else runs on through the phases, and normal errors.`,
    noise:
      'The difference of the plain means, with a Student interval from how much session means of other golfers vary within a phase. It assumes that this golfer is as noisy as they are and that days are unrelated.',
    none: 'The difference of the plain means only.',
  }[change.method];
  const draw = randomisation.ok
    ? ` The randomisation test compares the difference of the plain means with the one under every way in which the design could have fallen${randomisation.table.exact ? '' : ` (${randomisation.table.counted} of them, drawn with seed ${seed})`}; it needs no model, but a draw.`
    : '';
  const objects: unknown[] = [
    {
      kind: 'change',
      method: change.method,
      errors: change.method === 'series' ? 'first-order autoregression, correlation averaged' : 'independent',
      level,
    },
  ];
  if (randomisation.ok) {
    const { kind, pattern, sessions, least, ways, drawn, exact } = randomisation.table;
    objects.push({
      kind: 'randomisation',
      design: kind,
      pattern,
      sessions,
      leastSessions: least,
      ways,
      drawn,
      exact,
    });
  }
  if (noise.used !== null)
    objects.push({
      kind: 'noise of a session mean',
      from: noise.used.from,
      sd: noise.used.sem,
      degreesOfFreedom: noise.used.degreesOfFreedom,
    });
  return { words: `${change_}${draw}`, objects };
}
