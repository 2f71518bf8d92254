import type { FindingEstimate } from '../finding.ts';
import { amount, count, percent } from '../shared/words.ts';
import { visitWords } from './answer-words.ts';
import type { Chance } from './chances.ts';
import type { Settled } from './settle.ts';
import type { Sizes } from './size-study.ts';

/** Monte Carlo intervals are 95% whatever the level of the study's own intervals. */
const MONTE_CARLO = 0.95;

/** The estimates of the finding; the first answers the question. */
export function listEstimates(settled: Settled, sizes: Sizes): FindingEstimate[] {
  const { metric, point, chance, analysis, draws } = settled;
  const { found, moreSessions, chosen, detectable, detectableAtAll, half } = sizes;
  const many = count(chosen.point.golfers, 'golfer');
  const sign = sizes.goal.direction;
  const golfers = (
    key: string,
    name: string,
    size: { golfers: number; interval: readonly [number, number] } | null,
    meaning: string,
  ) => estimate(key, name, size?.golfers ?? null, size?.interval ?? null, 'golfers', meaning);
  const share = (key: string, name: string, { value, interval }: Chance, meaning: string) =>
    estimate(key, name, 100 * value, [100 * interval[0], 100 * interval[1]], '%', meaning);
  const size = (key: string, name: string, found_: Chance | null, meaning: string) =>
    estimate(
      key,
      name,
      found_ === null ? null : sign * found_.value,
      found_ === null ? null : ordered(sign * found_.interval[0], sign * found_.interval[1]),
      metric.unit,
      meaning,
    );
  const wished = percent(chance);
  return [
    settled.golfers === null
      ? golfers(
          'golfers',
          'golfers needed, in all',
          found,
          `The fewest golfers with whom ${wished} of ${draws} simulated studies end in 'a change that matters', with ${visitWords(point.kind, point.sessions, point.swings)}.`,
        )
      : share(
          'chance-meaningful',
          `chance of 'a change that matters', ${many}`,
          sizes.meaningful,
          `Of ${draws} simulated studies of this size, so many have their whole interval beyond the smallest change that matters.`,
        ),
    settled.golfers === null
      ? share(
          'chance-meaningful',
          `chance of 'a change that matters', ${many}`,
          sizes.meaningful,
          `Of ${draws} simulated studies of this size, so many have their whole interval beyond the smallest change that matters.`,
        )
      : golfers(
          'golfers',
          'golfers needed, in all',
          found,
          `The fewest golfers with whom ${wished} of the simulated studies end in 'a change that matters'.`,
        ),
    golfers(
      'golfers-more-sessions',
      `golfers needed, in all, with ${count(point.sessions + 1, 'session')} in each phase`,
      moreSessions,
      'What another visit in each phase would save.',
    ),
    ...sizes.bySwings
      .filter(({ swings }) => swings !== point.swings)
      .map(({ swings, golfers: size_ }) =>
        estimate(
          `golfers-${swings}-swings`,
          `golfers needed, in all, with ${swings} full swings in a session`,
          size_,
          null,
          'golfers',
          'Read off the grid: what is detectable goes with one over the root of the number of golfers.',
        ),
      ),
    share(
      'chance-seen',
      `chance that the interval leaves out no change, ${many}`,
      sizes.seen,
      'The usual power: less than the verdict asks for, since a change may be there and too small to matter.',
    ),
    share(
      'chance-too-small',
      `chance of 'too small to matter' if there is no effect, ${many}`,
      sizes.tooSmall,
      'What the study can say when the drill does nothing: that no change that matters was missed.',
    ),
    share(
      'chance-wrong',
      `chance of a false 'change that matters' or 'change the wrong way' if there is no effect, ${many}`,
      sizes.wrong,
      `At most ${percent(1 - analysis.level, 1)} by the make of the interval; less, since the whole interval must lie beyond the smallest change that matters.`,
    ),
    size(
      'detectable',
      `smallest true effect with ${wished} chance of 'a change that matters', ${many}`,
      detectable,
      'An effect smaller than this is likely to end in cannot tell.',
    ),
    size(
      'detectable-at-all',
      `smallest true effect that would be told from none with ${wished} chance, ${many}`,
      detectableAtAll,
      'The smallest detectable change of the comparison of groups; one golfer needs more.',
    ),
    {
      ...estimate(
        'half-width',
        `half the width of the interval to expect, ${many}`,
        half,
        null,
        metric.unit,
        `Half of the studies of this size have an interval narrower than ${half === null ? 'this' : amount(half, metric.unit, metric.decimals + 1)} either way.`,
      ),
      unsigned: true,
    },
  ];
}

function ordered(a: number, b: number): readonly [number, number] {
  return a <= b ? [a, b] : [b, a];
}

function estimate(
  key: string,
  name: string,
  value: number | null,
  interval: readonly [number, number] | null,
  unit: string,
  meaning: string,
): FindingEstimate {
  return {
    key,
    name,
    value,
    interval: interval ?? [null, null],
    level: MONTE_CARLO,
    unit,
    degreesOfFreedom: null,
    meaning,
  };
}
