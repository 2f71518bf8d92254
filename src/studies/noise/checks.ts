import { fUpper } from '../../numerics/index.ts';
import { equalVariances, meanInterval, moments, skewness } from '../../stats/index.ts';
import type { Check } from '../finding.ts';
import type { GolferNoise, NoiseTables } from '../noise-tables.ts';
import type { StudyMetric } from '../shared/study-metric.ts';
import { amount, count, figure, figureIn, percent } from '../shared/words.ts';
import type { NoiseAnswer } from './analyse.ts';
import type { Basis } from './basis.ts';
import type { SessionCorrelations } from './correlations.ts';
import type { LikelihoodSds } from './likelihood.ts';

export interface NoiseCheckRequest {
  readonly basis: Basis;
  readonly answer: NoiseAnswer;
  readonly golfers: readonly GolferNoise[];
  readonly correlations: SessionCorrelations | null;
  readonly likelihood: LikelihoodSds | null;
  readonly captureSd: number | null;
  readonly metric: Pick<StudyMetric, 'unit' | 'decimals' | 'kind' | 'label'>;
}

/** What the sizes of noise take for granted, looked at. */
export function noiseChecks(request: NoiseCheckRequest): Check[] {
  return [
    repeats(request),
    alike(request),
    drift(request),
    shift(request),
    shape(request),
    capture(request),
    otherEstimator(request),
  ].filter((check) => check !== null);
}

const BASIS_OUTCOME: Readonly<Record<NoiseTables['basis'], Check['outcome']>> = {
  repeats: 'good',
  untaught: 'look',
  all: 'bad',
  'one-session': 'bad',
  none: 'not-possible',
};

function repeats({ basis, answer }: NoiseCheckRequest): Check {
  const df = answer.noise.occasion?.degreesOfFreedom ?? 0;
  return {
    name: 'repeated sessions without teaching',
    outcome: basis.kind === 'repeats' && df < 10 ? 'look' : BASIS_OUTCOME[basis.kind],
    words: `The noise was taken from ${basis.words}. ${
      df === 0
        ? 'Measure some golfers twice within a week or two, with nothing taught between.'
        : `Day-to-day noise rests on ${count(answer.noise.repeatedUnits, 'golfer')} with two sessions or more (${count(df, 'degree of freedom', 'degrees of freedom')}).`
    }`,
  };
}

function alike({ golfers, metric, answer }: NoiseCheckRequest): Check {
  const name = 'golfers alike in noise';
  const spreads = golfers.flatMap(({ swingSd, swings, sessions }) =>
    swingSd === null ? [] : [{ variance: swingSd ** 2, degreesOfFreedom: swings - sessions, sd: swingSd }],
  );
  const test = equalVariances(spreads);
  if (test === null || answer.swingSd === null)
    return {
      name,
      outcome: 'not-possible',
      words: 'Fewer than two golfers have several swings in a session.',
    };
  const sizes = spreads.map(({ sd }) => sd).sort((a, b) => a - b);
  const range = `The SD of a golfer's swings runs from ${figureIn(sizes[0]!, metric.unit, metric.decimals + 1)} to ${amount(sizes.at(-1)!, metric.unit, metric.decimals + 1)}`;
  return test.pValue < 0.01
    ? {
        name,
        outcome: 'look',
        words: `${range}, further apart than chance would have it (Bartlett, p = ${figure(test.pValue, 4)}): the smallest detectable change is that of a golfer of usual noise, too small for the noisiest and too large for the steadiest. See each golfer's own spread.`,
      }
    : {
        name,
        outcome: 'good',
        words: `${range}; chance alone spreads them so (Bartlett, p = ${figure(test.pValue, 2)}).`,
      };
}

/** Whether values move with the number of the swing: each golfer's slope, then the mean over golfers. */
function drift({ basis, metric }: NoiseCheckRequest): Check {
  const name = 'no drift within a session';
  const sums = new Map<string, { xx: number; xy: number }>();
  const sessions = new Map<string, (typeof basis.rows)[number][]>();
  for (const row of basis.rows) {
    const own = sessions.get(row.session);
    if (own === undefined) sessions.set(row.session, [row]);
    else own.push(row);
  }
  for (const rows of sessions.values()) {
    const x = moments(rows.map(({ order }) => order))!.mean;
    const y = moments(rows.map(({ value }) => value))!.mean;
    const own = sums.get(rows[0]!.golfer) ?? { xx: 0, xy: 0 };
    for (const { order, value } of rows) {
      own.xx += (order - x) ** 2;
      own.xy += (order - x) * (value - y);
    }
    sums.set(rows[0]!.golfer, own);
  }
  const slopes = [...sums.values()].flatMap(({ xx, xy }) => (xx > 0 ? [xy / xx] : []));
  const interval = meanInterval(slopes, 0.95);
  if (interval === null || slopes.length < 3)
    return {
      name,
      outcome: 'not-possible',
      words: 'Fewer than three golfers have several swings in a session.',
    };
  const perTen = moments(slopes)!.mean * 10;
  const moves = interval[0] > 0 || interval[1] < 0;
  const size = `Over ten swings of a session the number moves by ${amount(perTen, metric.unit, metric.decimals + 1)} on average (95% interval ${figureIn(10 * interval[0], metric.unit, metric.decimals + 1)} to ${amount(10 * interval[1], metric.unit, metric.decimals + 1)}, over golfers)`;
  return moves
    ? {
        name,
        outcome: 'look',
        words: `${size}: warming up or tiring is in the spread of swings. Compare swings of the same place in a session, or leave the first ones out.`,
      }
    : { name, outcome: 'good', words: `${size}: no sign of warming up or tiring.` };
}

/** Whether all golfers moved between sessions. */
function shift({ correlations, basis }: NoiseCheckRequest): Check | null {
  if (correlations === null || basis.kind !== 'repeats') return null;
  const { raterMean, error, raters, targets } = correlations.squares;
  const name = 'no shift of everybody between sessions';
  if (error === 0) return null;
  const p = fUpper(raterMean / error, raters - 1, (raters - 1) * (targets - 1));
  return p < 0.05
    ? {
        name,
        outcome: 'look',
        words: `All golfers together moved from session to session (p = ${figure(p, 3)}): getting used to the measurement, another set-up or the weather. That is in the day-to-day noise here; a comparison with other golfers would not suffer from it.`,
      }
    : {
        name,
        outcome: 'good',
        words: `Sessions do not differ for all golfers together (p = ${figure(p, 2)}).`,
      };
}

function shape({ basis }: NoiseCheckRequest): Check | null {
  const means = new Map<string, { sum: number; n: number }>();
  for (const { session, value } of basis.rows) {
    const own = means.get(session) ?? { sum: 0, n: 0 };
    own.sum += value;
    own.n += 1;
    means.set(session, own);
  }
  const left = basis.rows.flatMap(({ session, value }) => {
    const { sum, n } = means.get(session)!;
    return n > 2 ? [value - sum / n] : [];
  });
  const skew = left.length < 20 ? null : skewness(left);
  if (skew === null) return null;
  const lopsided = Math.abs(skew.value) > Math.max(0.5, 2 * skew.standardError);
  return {
    name: 'shape of the noise',
    outcome: lopsided ? 'look' : 'good',
    words: `Skewness of swings around their session's mean is ${figure(skew.value, 2)}${
      lopsided
        ? ': lopsided, so that limits which take noise to be even on both sides mislead for single swings; for means of many they hold better.'
        : ': even enough on both sides.'
    }`,
  };
}

function capture({ captureSd, answer, metric }: NoiseCheckRequest): Check | null {
  const swing = answer.swingSd;
  if (captureSd === null || swing === null || !(swing.value > 0)) return null;
  const share = captureSd ** 2 / swing.value ** 2;
  const size = `The measurement's own SD beside the swings is ${amount(captureSd, metric.unit, metric.decimals + 1)}`;
  const name = 'noise of the measurement itself';
  if (share > 1)
    return {
      name,
      outcome: 'bad',
      words: `${size}, more than swings differ at all (${amount(swing.value, metric.unit, metric.decimals + 1)}): the stated uncertainty is too large, or errors are shared by the swings of a session and do not show in their spread.`,
    };
  return {
    name,
    outcome: share > 0.5 ? 'look' : 'good',
    words: `${size}: ${percent(share)} of the variance between swings${share > 0.5 ? ', so a better measurement would pay before more swings do' : '; most of it is the golfer, and a better device would change little'}.`,
  };
}

function otherEstimator({ likelihood, answer, metric }: NoiseCheckRequest): Check | null {
  if (likelihood === null) return null;
  const pairs = [
    ['golfers', answer.golferSd?.value ?? null, likelihood.golfer],
    ['sessions', answer.sessionSd?.value ?? null, likelihood.session],
    ['swings', answer.swingSd?.value ?? null, likelihood.swing],
  ] as const;
  const known = pairs.flatMap(([part, moment, other]) =>
    moment === null || other === null ? [] : [{ part, moment, other }],
  );
  const apart = known.filter(
    ({ moment, other }) => Math.abs(moment - other) > 0.15 * Math.max(moment, other),
  );
  const said = known
    .map(
      ({ part, moment, other }) =>
        `${part} ${figureIn(moment, metric.unit, metric.decimals + 2)} and ${amount(other, metric.unit, metric.decimals + 2)}`,
    )
    .join('; ');
  return {
    name: 'two ways to the variances',
    outcome: apart.length > 0 ? 'look' : 'good',
    words: `SDs from mean squares, and by restricted maximum likelihood: ${said}.${apart.length > 0 ? ' They differ where sessions or swings are uneven in number, or a variance is near zero.' : ''}`,
  };
}
