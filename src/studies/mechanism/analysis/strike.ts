import { type Fit, type FixedEstimate, fitModel, type Model } from '../../../stats/index.ts';
import { studyMetric } from '../../shared/study-metric.ts';
import { isSummed, type Swings } from '../input/summed-swings.ts';
import { columnsOfSwings, type SwingColumns } from './columns-of-swings.ts';
import { type Found, found } from './estimate.ts';
import { type FrameColumn, fitCells, partsOf } from './fit-cells.ts';
import { differsIn, type Frame, frameOf } from './frame.ts';

/** What the strike does when the outcome (lean) changes inside golfers, elbow and release held. */
export interface StrikeLink {
  readonly strike: string;
  readonly kind: 'number' | 'ordinal' | 'yes-no';
  /**
   * Per unit of the outcome: the strike's own unit for a number, a log odds ratio (of a better rating, of a yes) otherwise.
   */
  readonly slope: Found;
  readonly golfers: number;
  readonly swings: number;
  readonly model: Model;
  readonly notes: readonly string[];
}

/** Why a strike could not be linked. */
export interface NoStrikeLink {
  readonly strike: string;
  readonly why: string;
}

/** Fewer swings than this, or of the rarer answer, tell nothing of a rating or a yes/no. */
const LEAST_ANSWERS = 20;

/**
 * strike ~ what comes before it in the chain, inside and between golfers, with golfers' own levels: least squares of a
 * mixed model for a number, cumulative logit for a rating, logit for a yes/no (Laplace).
 */
export function strikeLink(
  swings: Swings,
  strike: string,
  before: readonly string[],
  level: number,
): StrikeLink | NoStrikeLink {
  const frame = frameOf(swings, [...before, strike]);
  const { kind } = studyMetric(strike);
  if (frame.size === 0) return { strike, why: 'it was not recorded' };
  if (!differsIn(frame, strike)) return { strike, why: 'it is the same at every swing' };
  const { model, name } = strikeModel(frame, strike, before, kind, level);
  if (kind !== 'number') {
    if (isSummed(swings))
      return {
        strike,
        why: 'ratings and yes/no answers need each swing, and these swings were summed by session where they are',
      };
    const rarer = rarerAnswers(columnsOfSwings(swings, [...before, strike]), strike);
    if (rarer < LEAST_ANSWERS)
      return { strike, why: `all but ${rarer} swings have the same answer, too few to tell` };
  }
  const outcome =
    isSummed(swings) || kind === 'number'
      ? fitCells(frame, model, strikeCells(frame, strike, before))
      : fitModel(model, strikeColumns(columnsOfSwings(swings, [...before, strike]), strike, before));
  if (!outcome.ok) return { strike, why: outcome.problems[0]?.found ?? 'no model could be fitted' };
  const estimate = termOf(outcome.fit, name);
  if (estimate === undefined || !outcome.fit.result.diagnosis.converged)
    return { strike, why: 'the model did not settle' };
  return {
    strike,
    kind,
    slope: found(estimate.estimate, estimate.standardError, estimate.degreesOfFreedom, level),
    golfers: frame.golfers,
    swings: frame.size,
    model,
    notes: outcome.fit.result.diagnosis.notes,
  };
}

export function isStrikeLink(link: StrikeLink | NoStrikeLink): link is StrikeLink {
  return 'slope' in link;
}

function strikeModel(
  frame: Frame,
  strike: string,
  before: readonly string[],
  kind: StrikeLink['kind'],
  level: number,
) {
  const several = kind === 'number' && frame.sessions > frame.golfers;
  const model: Model = {
    outcome: strike,
    ...(kind === 'number'
      ? {}
      : { distribution: kind === 'ordinal' ? ('ordinal' as const) : ('binary' as const) }),
    fixed: [
      ...(kind === 'ordinal' ? [] : ['intercept' as const]),
      ...before.map((column) => ({ column: `${column} within` })),
      ...before.map((column) => ({ column: `${column} between` })),
    ],
    random: [
      { group: 'golfer', effects: ['intercept'] },
      ...(several ? [{ group: ['golfer', 'session'], effects: ['intercept' as const] }] : []),
    ],
    inference: { degreesOfFreedom: kind === 'number' ? 'kenward-roger' : 'normal', level },
  };
  return { model, name: `${before.at(-1)!} within` };
}

function strikeColumns(columns: SwingColumns, strike: string, before: readonly string[]) {
  return {
    golfer: columns.swings.map(({ golfer }) => golfer),
    session: columns.swings.map(({ session }) => session),
    [strike]: columns.raw[strike]!,
    ...Object.fromEntries(
      before.flatMap((column) => [
        [`${column} within`, columns.within[column]!],
        [`${column} between`, columns.between[column]!],
      ]),
    ),
  };
}

function strikeCells(frame: Frame, strike: string, before: readonly string[]): FrameColumn[] {
  const departures = (column: string) => [{ column: frame.columns.indexOf(column), factor: 1 }];
  return [
    ...before.map((column) => ({
      name: `${column} within`,
      means: partsOf(frame, column).within,
      departures: departures(column),
    })),
    ...before.map((column) => ({
      name: `${column} between`,
      means: partsOf(frame, column).between,
      departures: [],
    })),
    { name: strike, means: partsOf(frame, strike).raw, departures: departures(strike) },
  ];
}

/** How many swings have another answer than the commonest. */
function rarerAnswers({ raw, swings }: SwingColumns, strike: string): number {
  const counts = new Map<number, number>();
  for (const value of raw[strike]!) counts.set(value, (counts.get(value) ?? 0) + 1);
  return swings.length - Math.max(...counts.values());
}

function termOf(fit: Fit, term: string): FixedEstimate | undefined {
  return fit.result.fixed.find((estimate) => estimate.term === term);
}
