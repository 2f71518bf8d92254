import { median, type NestedValue, robustDistances } from '../../stats/index.ts';
import type { FindingEstimate, Sensitivity, SmallestChange, Verdict } from '../finding.ts';
import type { StudyMetric } from '../shared/study-metric.ts';
import { amount, figure, listSome, percent } from '../shared/words.ts';
import { analyseNoise, type NoiseAnswer, noiseStanding, noiseVerdict } from './analyse.ts';
import type { Basis } from './basis.ts';

export interface NoiseSensitivityRequest {
  readonly basis: Basis;
  readonly answer: NoiseAnswer;
  readonly smallest: SmallestChange | null;
  readonly metric: Pick<StudyMetric, 'unit' | 'decimals'>;
}

/** Robust SDs beyond which a swing counts as far from its session's others (Iglewicz and Hoaglin 1993). */
const FAR = 3.5;
/** Golfers left out one by one, at most; the noisiest and the steadiest decide, and they are among the first. */
const MOST_GOLFERS = 200;

/** The smallest detectable change under other choices, and whether the verdict survives. */
export function noiseSensitivity(request: NoiseSensitivityRequest): Sensitivity[] {
  if (request.answer.detectableNow?.interval == null) return [];
  return [withoutFar(request), withoutOneGolfer(request), ...otherSmallest(request)].filter(
    (entry) => entry !== null,
  );
}

function again({ basis, answer }: NoiseSensitivityRequest, rows: Basis['rows']): NoiseAnswer {
  return analyseNoise(nested(rows), answer.now, answer.level, basis.shared);
}

/** Rows as golfers, sessions and values, one at a time: as often as they are asked for, and never all at once. */
export function nested(rows: Basis['rows']): Iterable<NestedValue> {
  return {
    *[Symbol.iterator]() {
      for (const { golfer, session, value } of rows) yield { unit: golfer, occasion: session, value };
    },
  };
}

function entry(
  request: NoiseSensitivityRequest,
  name: string,
  what: string,
  other: NoiseAnswer,
  words: string,
  smallest: SmallestChange | null = request.smallest,
): Sensitivity {
  const { answer, basis, metric } = request;
  const of = (asked: NoiseAnswer, against: SmallestChange | null): Verdict =>
    noiseVerdict(noiseStanding(asked, against, basis.kind));
  const verdict = of(other, smallest);
  const same =
    verdict === of(answer, request.smallest) ? 'The verdict is the same.' : 'The verdict would be another.';
  const size = other.detectableNow;
  return {
    name,
    what,
    estimate: size === null ? null : estimateOf(other, name, what, metric.unit),
    verdict,
    words:
      `${size === null ? 'It could not be estimated this way.' : `The smallest detectable change is then ${amount(size.value, metric.unit, metric.decimals + 1)}.`} ${same} ${words}`.trim(),
  };
}

function estimateOf(answer: NoiseAnswer, name: string, meaning: string, unit: string): FindingEstimate {
  const { value, interval, degreesOfFreedom } = answer.detectableNow!;
  return {
    name,
    value,
    interval: interval ?? [null, null],
    level: answer.level,
    unit,
    degreesOfFreedom,
    meaning,
    unsigned: true,
  };
}

function withoutFar(request: NoiseSensitivityRequest): Sensitivity | null {
  const { rows } = request.basis;
  const sessions = new Map<string, Basis['rows'][number][]>();
  for (const row of rows) {
    const own = sessions.get(row.session);
    if (own === undefined) sessions.set(row.session, [row]);
    else own.push(row);
  }
  const judged = [...sessions.values()].filter((own) => own.length >= 3);
  const residuals = judged.flatMap((own) => {
    const centre = median(own.map(({ value }) => value))!;
    return own.map(({ value }) => value - centre);
  });
  const distances = robustDistances(residuals) ?? [];
  const far = new Set<string>();
  let at = 0;
  for (const own of judged)
    for (const { swing } of own) if (Math.abs(distances[at++] ?? 0) > FAR) far.add(swing);
  if (far.size === 0) return null;
  return entry(
    request,
    'without far swings',
    `Without the ${far.size} of ${rows.length} swings that lie more than ${FAR} robust SDs from the middle of their session.`,
    again(
      request,
      rows.filter(({ swing }) => !far.has(swing)),
    ),
    `Left out here only: ${listSome([...far].sort())}.`,
  );
}

function withoutOneGolfer(request: NoiseSensitivityRequest): Sensitivity | null {
  const golfers = [...new Set(request.basis.rows.map(({ golfer }) => golfer))];
  if (golfers.length < 4 || golfers.length > MOST_GOLFERS) return null;
  const tried = golfers.flatMap((golfer) => {
    const other = again(
      request,
      request.basis.rows.filter((row) => row.golfer !== golfer),
    );
    return other.detectableNow?.interval == null ? [] : [{ golfer, other, size: other.detectableNow.value }];
  });
  if (tried.length === 0) return null;
  const [low, high] = tried.reduce(
    ([a, b], one) => [one.size < a.size ? one : a, one.size > b.size ? one : b],
    [tried[0]!, tried[0]!],
  );
  const now = request.answer.detectableNow!.value;
  const furthest = Math.abs(low.size - now) > Math.abs(high.size - now) ? low : high;
  const { unit, decimals } = request.metric;
  return entry(
    request,
    'each golfer left out in turn',
    `Without ${furthest.golfer}, whose leaving moves it most.`,
    furthest.other,
    `Over all ${tried.length} golfers left out one at a time it runs from ${amount(low.size, unit, decimals + 1)} (without ${low.golfer}) to ${amount(high.size, unit, decimals + 1)} (without ${high.golfer}).`,
  );
}

function otherSmallest(request: NoiseSensitivityRequest): Sensitivity[] {
  const { smallest, answer, metric } = request;
  if (smallest === null) return [];
  return [0.5, 1.5].map((factor) =>
    entry(
      request,
      `smallest change of ${amount(factor * smallest.value, metric.unit, metric.decimals + 1)}`,
      `The same noise against a change that is ${percent(factor)} of the one used (x ${figure(factor, 1)}).`,
      answer,
      '',
      { ...smallest, value: factor * smallest.value },
    ),
  );
}
