import type { Check } from '../../finding.ts';
import type { RosterSession } from '../../shared/roster.ts';
import type { StudyMetric } from '../../shared/study-metric.ts';
import { amount, count, list } from '../../shared/words.ts';
import type { Answers } from '../analysis/answers.ts';
import { reachesFive } from '../analysis/randomisation.ts';
import type { GolferSeries } from '../input/series.ts';
import { pWords, randomisationSentence } from './answer.ts';

export interface CheckParts {
  readonly answers: Answers;
  readonly series: readonly GolferSeries[];
  readonly sessions: readonly RosterSession[];
  readonly metric: StudyMetric;
}

/** Limits from fewer baseline sessions than this move a lot with each more (common practice, no source). */
const ENOUGH_FOR_LIMITS = 8;

/** What the design and the series are good for. */
export function checkSeries(parts: CheckParts): Check[] {
  return [
    designCheck(parts.answers),
    ...parts.series.map((one) => baselineCheck(one, parts)),
    ...trendCheck(parts),
    ...likenessCheck(parts.answers),
    ...parts.series.map(chartCheck),
    ...['device', 'surface', 'instructor'].flatMap((what) => sharedCauseCheck(what as 'device', parts)),
    ...swingsCheck(parts.series),
  ];
}

function designCheck({ randomisation }: Answers): Check {
  const name = 'what the design can show';
  const words = randomisationSentence(randomisation);
  if (!randomisation.ok) return { name, outcome: 'not-possible', words };
  const reach = reachesFive(randomisation.table);
  return { name, outcome: reach ? (randomisation.table.drawn ? 'good' : 'look') : 'bad', words };
}

function baselineCheck({ golfer, compared }: GolferSeries, { metric }: CheckParts): Check {
  const first = compared.filter(({ run }) => run === compared[0]?.run);
  const isBaseline = first[0]?.condition === 'A';
  const n = isBaseline ? first.length : 0;
  return {
    name: `length of the baseline of ${golfer}`,
    outcome: n >= 5 ? 'good' : n >= 3 ? 'look' : 'bad',
    words:
      n >= 5
        ? `${count(n, 'session')} before the training began.`
        : `${n === 0 ? 'No session' : `Only ${count(n, 'session')}`} before the training began: how ${metric.label} runs on by itself is ${n >= 3 ? 'little' : 'not'} known. Five or more are asked of a phase, three at the least (Kratochwill et al. 2013).`,
  };
}

function trendCheck({ answers, metric }: CheckParts): Check[] {
  const { measures, besidesTrend, change } = answers;
  return measures.flatMap(({ golfer, baselineSlope, baselineP }): Check[] => {
    if (baselineSlope === null || baselineP === null) return [];
    const slope = `${amount(Math.abs(baselineSlope), metric.unit, metric.decimals + 1)} a session ${baselineSlope < 0 ? 'down' : 'up'}`;
    const clear = (interval: readonly [number, number] | null | undefined) =>
      interval != null && (interval[0] > 0 || interval[1] < 0);
    const explained = clear(change.interval) && besidesTrend !== null && !clear(besidesTrend.interval);
    const found = baselineP < 0.05;
    return [
      {
        name: `trend before the training of ${golfer}`,
        outcome: found || explained ? 'look' : 'good',
        words: `The first A phase runs ${slope} (Kendall p = ${pWords(baselineP)})${found ? ': the golfer was changing before the training' : ''}.${explained ? ' With a straight line allowed through all sessions, the change is no longer clear.' : ''}`,
      },
    ];
  });
}

function likenessCheck({ change, measures }: Answers): Check[] {
  const name = 'likeness of neighbouring sessions';
  const told = measures
    .flatMap(({ golfer, lagOne }) =>
      lagOne === null
        ? []
        : [
            `${golfer}: ${lagOne.value.toFixed(2)}, ${lagOne.corrected.toFixed(2)} with the bias of a short series taken off`,
          ],
    )
    .join('; ');
  if (change.autocorrelation === null) return [];
  const [low, high] = change.autocorrelation.interval;
  return [
    {
      name,
      outcome: low > 0.2 ? 'look' : 'good',
      words: `Lag-one correlation around the phases' means ${told}. What the series says of it runs from ${low.toFixed(2)} to ${high.toFixed(2)}; the interval of the change averages over all of that.`,
    },
  ];
}

function chartCheck({ golfer, limits, compared }: GolferSeries): Check {
  const name = `chart of ${golfer}`;
  if (limits === null)
    return { name, outcome: 'not-possible', words: 'Limits need at least two A sessions in a row.' };
  const first = compared.filter((point) => point.condition === 'A')[0]!.run;
  const early = compared.filter((point) => point.run === first && point.signals.length > 0);
  const later = compared.filter((point) => point.run !== first && point.signals.some((s) => s !== 'range'));
  const short = limits.from < ENOUGH_FOR_LIMITS;
  const words = [
    early.length === 0
      ? `The baseline keeps within its own limits (${count(limits.from, 'session')}).`
      : `The baseline is not steady: ${list(early.map(({ session }) => session))}.`,
    later.length === 0
      ? 'No later session signals.'
      : `Signals later: ${list(later.map(({ session }) => session))}.`,
    short ? `Limits from ${count(limits.from, 'session')} move with each more.` : '',
  ];
  return {
    name,
    outcome: early.length > 0 ? 'bad' : short ? 'look' : 'good',
    words: words.filter((part) => part !== '').join(' '),
  };
}

/** A device, surface or instructor that changed with the phase is as good an explanation as the training. */
function sharedCauseCheck(
  what: 'device' | 'surface' | 'instructor',
  { series, sessions }: CheckParts,
): Check[] {
  const byId = new Map(sessions.map((row) => [row.session, row]));
  return series.flatMap(({ golfer, compared }): Check[] => {
    const of = (condition: 'A' | 'B') =>
      new Set(
        compared.flatMap((point) =>
          point.condition === condition ? (byId.get(point.session)?.[what] ?? []) : [],
        ),
      );
    const [before, after] = [of('A'), of('B')];
    if (before.size === 0 || after.size === 0) return [];
    const only = [...after].filter((value) => !before.has(value));
    if (only.length === 0) return [];
    const all = [...after].every((value) => !before.has(value));
    return [
      {
        name: `${what} of ${golfer}`,
        outcome: all ? 'bad' : 'look',
        words: `The ${what} changed with the training (${list([...before])} before, ${list([...after])} after): ${all ? 'what it did and what the training did cannot be told apart' : 'part of the difference may be its doing'}.`,
      },
    ];
  });
}

function swingsCheck(series: readonly GolferSeries[]): Check[] {
  const counts = series.flatMap(({ compared }) => compared.map(({ swings }) => swings));
  if (counts.length === 0) return [];
  const [least, most] = [Math.min(...counts), Math.max(...counts)];
  const uneven = most >= 3 * least;
  return [
    {
      name: 'swings in a session',
      outcome: uneven || least < 3 ? 'look' : 'good',
      words: `${least === most ? `${least} in each` : `From ${least} to ${most}`}; sessions count alike${uneven ? ', though a mean of few swings is less sure' : ''}.`,
    },
  ];
}
