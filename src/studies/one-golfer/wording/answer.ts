import type { SmallestChange } from '../../finding.ts';
import { standingWords } from '../../shared/standing-words.ts';
import {
  ABOUT_THE_SAME,
  amount,
  capitalised,
  count,
  decimalsToShow,
  difference,
  intervalOfDifference,
  list,
  percent,
  type Shown,
} from '../../shared/words.ts';
import type { Change, Counts } from '../analysis/change.ts';
import type { Randomisation } from '../analysis/randomisation.ts';
import { reachesFive } from '../analysis/randomisation.ts';

/** What the answer is made from. */
export interface AnswerParts {
  readonly golfers: readonly string[];
  readonly label: string;
  readonly column: string;
  readonly unit: string;
  readonly decimals: number;
  readonly level: number;
  readonly counts: Counts;
  /** One A and one B phase, or more than two phases. */
  readonly reversed: boolean;
  readonly change: Change;
  readonly observed: number | null;
  readonly smallest: SmallestChange | null;
  readonly detectable: number | null;
  /** Whose sessions the noise is from, in words. */
  readonly noiseFrom: string | null;
  readonly randomisation: Randomisation;
  /** Whether a straight line through all sessions says as much as the change: see `trendSentence`. */
  readonly besidesTrend: Change | null;
}

/** The answer, a sentence for each part: size and verdict, noise, the draw, a steady trend. */
export function answerText(parts: AnswerParts): string {
  if (parts.change.value === null) return `Cannot tell: ${nothingToCompare(parts.counts)}.`;
  return [sizeSentence(parts), noiseSentence(parts), drawSentence(parts.randomisation), trendSentence(parts)]
    .filter((sentence) => sentence !== null)
    .join(' ');
}

/** Why there is no change to speak of. */
export function nothingToCompare({ before, after }: Counts): string {
  if (before === 0 && after === 0) return 'there is no session with a value, before or after';
  if (after === 0) return 'there is no session with a value after the start';
  if (before === 0) return 'there is no session with a value before the start (phase baseline)';
  return 'a golfer has no session before, or none after';
}

function shownIn(parts: AnswerParts): Shown {
  const { change, smallest, column, unit, level } = parts;
  return {
    column,
    unit,
    level,
    decimals: decimalsToShow(change.interval, smallest?.value ?? null, parts.decimals),
  };
}

export function sizeSentence(parts: AnswerParts): string {
  const { golfers, label, counts, change, reversed, smallest } = parts;
  const shown = shownIn(parts);
  const size = difference(change.value!, shown);
  const sure = change.interval === null ? '' : ` (${intervalOfDifference(change.interval, shown)})`;
  const than = size === ABOUT_THE_SAME ? 'as' : 'than';
  const [after, before] = [count(counts.after, 'session'), String(counts.before)];
  const when = reversed
    ? `in the ${after} with the training ${than} in the ${before} without`
    : `in the ${after} from the start of the training on ${than} in the ${before} before`;
  const standing = standingWords(change.interval, smallest, shown.decimals, change.why);
  return `${capitalised(label)} of ${list(golfers)} was ${size}${sure} ${when}${standing}.`;
}

/** The bare difference against what noise alone does. */
export function noiseSentence(parts: AnswerParts): string | null {
  const { observed, detectable, noiseFrom, level, unit } = parts;
  if (observed === null) return null;
  if (detectable === null || noiseFrom === null)
    return 'How large a difference noise alone makes is not known from these data.';
  const shown = shownIn(parts);
  const decimals = decimalsToShow(
    [Math.abs(observed) - detectable, Math.abs(observed) + detectable],
    null,
    shown.decimals,
  );
  const beyond = Math.abs(observed) > detectable;
  return `The difference of the plain means, ${amount(Math.abs(observed), unit, decimals)}, is ${beyond ? 'more' : 'no more'} than noise alone makes of such means in ${percent(level, 1)} of cases where days are unrelated (${amount(detectable, unit, decimals)}, from ${noiseFrom}).`;
}

/** The same in short, for the answer; null where there is no test. */
export function drawSentence(randomisation: Randomisation): string | null {
  if (!randomisation.ok) return null;
  const { ways, p, smallestP, drawn } = randomisation.table;
  if (!reachesFive(randomisation.table))
    return `A randomisation test cannot reach p = 0.05 here: the design could have fallen in ${count(ways, 'way')}, so the smallest possible p is ${pWords(smallestP)}.`;
  return drawn
    ? `The design was drawn at random, says the plan: randomisation test p = ${pWords(p)}, of ${ways} ways.`
    : `Had the design been drawn at random, the randomisation test would give p = ${pWords(p)}; nothing says that it was.`;
}

/** What the draw of the design says, and whether it can say anything at 0.05. */
export function randomisationSentence(randomisation: Randomisation): string {
  if (!randomisation.ok) return `No randomisation test: ${randomisation.why}.`;
  const { table, remedy } = randomisation;
  const { ways, p, smallestP, drawn, exact } = table;
  const among = exact
    ? `${Math.round(p * table.counted)} of the ${ways} ways`
    : `counted in ${table.counted} of the ${ways} ways`;
  const reach = reachesFive(table)
    ? ''
    : `; this design allows only ${ways} ways, so p cannot fall below ${pWords(smallestP)} and p = 0.05 cannot be reached${remedy === '' ? '' : ` (${remedy})`}`;
  const lead = drawn
    ? `The plan says that the design was drawn at random: randomisation test p = ${pWords(p)}`
    : `Had the design been drawn at random, the randomisation test would give p = ${pWords(p)}`;
  const caution = drawn ? '' : '; no plan says that it was, so this p is only as if';
  return `${lead} (${among} in which it could have fallen give a difference as large)${reach}${caution}.`;
}

/** p to three decimals, as the figure of the draw has it; a small one to four, or to two figures where those would show nothing. */
export function pWords(p: number): string {
  if (p >= 0.1) return String(Number(p.toFixed(3)));
  return p >= 0.001 ? String(Number(p.toFixed(4))) : p.toPrecision(2);
}

/** Said only where the change is clear by itself and not beside a straight line through all sessions. */
export function trendSentence({ change, besidesTrend, reversed }: AnswerParts): string | null {
  if (change.method !== 'series' || change.interval === null || besidesTrend?.interval == null) return null;
  const clear = ([low, high]: readonly [number, number]) => low > 0 || high < 0;
  if (!clear(change.interval) || clear(besidesTrend.interval)) return null;
  return reversed
    ? 'Allowing for a steady trend through all sessions, the change is no longer clear.'
    : 'A steady trend through all sessions, begun before the training, would explain the difference as well: what changed may have been changing anyway.';
}
