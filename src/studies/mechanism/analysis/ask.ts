import type { Plan } from '../../../dataset/index.ts';
import { createStream } from '../../../numerics/index.ts';
import { monteCarloProduct, type ProductInterval, productInterval } from '../../../stats/index.ts';
import type { SmallestChange, Verdict } from '../../finding.ts';
import { verdictOf } from '../../shared/standing.ts';
import type { StudyMetric } from '../../shared/study-metric.ts';
import type { MechanismChoice } from '../input/choice.ts';
import { perStep, STRIKES, TURNS } from '../input/columns.ts';
import type { Swings } from '../input/summed-swings.ts';
import { type Chain, chainOf } from './chain.ts';
import { type Curvature, curvatureOf } from './curvature.ts';
import { drawsFor } from './draws.ts';
import { type Found, found, times, unattenuated } from './estimate.ts';
import { type Frame, frameOf, meanErrorVariance } from './frame.ts';
import { type MixedSlopes, mixedSlopes } from './mixed-slopes.ts';
import { type Moderation, moderationBy } from './moderation.ts';
import { type Reliability, reliabilityOf } from './reliability.ts';
import { isSlope, type NoSlope, type Slope, slopeUnder } from './slope.ts';
import { smallestSlope } from './smallest-slope.ts';
import { isStrikeLink, type NoStrikeLink, type StrikeLink, strikeLink } from './strike.ts';
import { correlationToZero, type Unmeasured, unmeasuredOf } from './unmeasured.ts';

const SEED = 20_260_101;

export interface Mediated {
  readonly mediator: string;
  readonly frame: Frame;
  /** Mixed models: mediator on predictor; outcome on mediator and predictor. */
  readonly first: MixedSlopes;
  readonly second: MixedSlopes;
  readonly reliability: Reliability | null;
  /** Golfers drawn, paths pooled, corrected where SDs are stated. */
  readonly chain: Chain;
  /** The same without correction; null where no correction was made. */
  readonly uncorrected: Chain | null;
  /** From the two mixed models, per unit of the predictor, uncorrected. */
  readonly product: ProductInterval;
  /** Correlation of the two errors at which nothing would go this way. */
  readonly correlationToZero: number | null;
}

export interface StrikeEnd {
  readonly link: StrikeLink | NoStrikeLink;
  /** Predictor -> mediator -> outcome -> strike, per unit of the predictor; null where a link is missing. */
  readonly indirect: { readonly value: number; readonly interval: readonly [number, number] } | null;
  readonly curvature: Curvature | null;
}

export interface Answers {
  readonly slope: Slope;
  /** The outcome on the predictor with golfers' own levels and slopes, as measured; null where it cannot be fitted. */
  readonly mixed: MixedSlopes | null;
  /** Between golfers less inside golfers, per unit; null where there is no slope between golfers. */
  readonly contextual: Found | null;
  /** Per step towards earlier straightening. */
  readonly answer: Found;
  readonly smallest: SmallestChange | null;
  readonly verdict: Verdict;
  readonly level: number;
  readonly mediated: Mediated | null;
  readonly strikes: readonly StrikeEnd[];
  readonly moderations: readonly Moderation[];
  readonly unmeasured: Unmeasured | null;
}

/** Every number of the study under one choice. */
export function ask(
  swings: Swings,
  choice: MechanismChoice,
  metric: StudyMetric,
  plan: Plan | null,
  seed: number = SEED,
): Answers | NoSlope {
  const level = plan?.level ?? 0.95;
  const slope = slopeUnder(swings, choice, level);
  if (!isSlope(slope)) return slope;
  const { predictor, outcome } = choice;
  const factor = perStep(predictor);
  const answer = times(slope.within, factor);
  const smallest = smallestSlope(slope.frame, predictor, metric, plan?.smallestChangeThatMatters ?? null);
  const mixed = mixedSlopes({ frame: slope.frame, outcome, predictors: [predictor], level });
  const mediated = mediatedBy(slope, swings, level, seed);
  const benchmarks = [...TURNS, ...(mediated === null ? [] : [mediated.mediator])].filter(
    (column) => column !== choice.mediator,
  );
  return {
    slope,
    mixed,
    contextual: contextualOf(slope.within, mixed?.between[predictor], level),
    answer,
    smallest,
    verdict: smallest === null ? 'cannot-tell' : verdictOf(answer.interval, smallest),
    level,
    mediated,
    strikes: STRIKES.filter((strike) => strike !== outcome).map((strike) =>
      strikeEnd(slope, swings, mediated, strike, level, seed),
    ),
    moderations: TURNS.flatMap((turn) => {
      const found = moderationBy(swings, { predictor, outcome, turn }, level);
      return found === null ? [] : [found];
    }),
    unmeasured: unmeasuredOf(slope, smallest?.value ?? null, benchmarks, factor, swings),
  };
}

/** Departures from a golfer's usual are orthogonal to what is usual, so the two slopes err independently. */
function contextualOf(within: Found, between: Found | undefined, level: number): Found | null {
  if (between === undefined) return null;
  const degrees = [within, between].map(
    ({ degreesOfFreedom }) => degreesOfFreedom ?? Number.POSITIVE_INFINITY,
  );
  return found(
    between.value - within.value,
    Math.hypot(between.standardError, within.standardError),
    Math.min(...degrees),
    level,
  );
}

function mediatedBy({ choice }: Slope, swings: Swings, level: number, seed: number): Mediated | null {
  const { predictor, mediator, outcome } = choice;
  if (mediator === null) return null;
  const columns = [predictor, mediator, outcome] as const;
  const frame = frameOf(swings, columns, choice.within);
  if (frame.golfers < 5) return null;
  const first = mixedSlopes({ frame, outcome: mediator, predictors: [predictor], level });
  const second = mixedSlopes({ frame, outcome, predictors: [mediator, predictor], level });
  const [a, b] = [first?.within[predictor], second?.within[mediator]];
  if (first === null || second === null || a === undefined || b === undefined) return null;
  if (!(a.standardError > 0 && b.standardError > 0)) return null;
  const stated = columns.slice(0, 2).some((column) => meanErrorVariance(frame, column) !== null);
  const draw = (corrected: boolean): Chain | null =>
    chainOf({
      frame,
      columns,
      corrected,
      level,
      draws: drawsFor(frame.golfers),
      stream: createStream(seed, 'golfers'),
    });
  const plain = draw(false);
  const corrected = stated && choice.corrected ? draw(true) : null;
  const chain = corrected ?? plain;
  if (chain === null) return null;
  return {
    mediator,
    frame,
    first,
    second,
    reliability: reliabilityOf(frame, mediator),
    chain,
    uncorrected: corrected === null ? null : plain,
    product: productInterval({ a: a.value, sdA: a.standardError, b: b.value, sdB: b.standardError }, level),
    correlationToZero: correlationToZero(frame, columns),
  };
}

function strikeEnd(
  { frame, choice, reliability }: Slope,
  swings: Swings,
  mediated: Mediated | null,
  strike: string,
  level: number,
  seed: number,
): StrikeEnd {
  const { predictor, outcome } = choice;
  const before = mediated === null ? [predictor, outcome] : [predictor, mediated.mediator, outcome];
  const link = strikeLink(swings, strike, before, level);
  if (!isStrikeLink(link)) return { link, indirect: null, curvature: null };
  return {
    link,
    indirect: mediated === null ? null : through(mediated, link, reliability, level, seed),
    curvature: frame.each === null ? null : curvatureOf(frame.each, strike, outcome, level),
  };
}

/** The product of three estimates from three fits, drawn as independent normals; the first corrected where it can be. */
function through(
  { first, second, mediator }: Mediated,
  link: StrikeLink,
  reliability: Reliability | null,
  level: number,
  seed: number,
) {
  const [plain, b] = [Object.values(first.within)[0]!, second.within[mediator]!];
  const a = reliability === null || reliability.share < 0.4 ? plain : unattenuated(plain, reliability, level);
  return monteCarloProduct(
    [a, b, link.slope].map(({ value, standardError }) => ({ estimate: value, standardError })),
    { draws: 20_000, level, stream: createStream(seed, 'product', link.strike) },
  );
}
