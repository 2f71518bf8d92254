import { fitModel, type Model } from '../../../stats/index.ts';
import { isSummed, type Swings } from '../input/summed-swings.ts';
import type { MechanismSwing } from '../input/swings.ts';
import { columnsOfSwings } from './columns-of-swings.ts';
import { type Found, found } from './estimate.ts';
import { fitCells, partsOf } from './fit-cells.ts';
import { type Frame, frameOf } from './frame.ts';

/** How the slope inside golfers changes with a turn of the body, per degree of it. */
export interface Moderation {
  readonly turn: string;
  /** Between golfers: with how far a golfer usually turns. */
  readonly usual: Found;
  /** Inside golfers: with how much further than usual the golfer turned in that swing. */
  readonly ofSwing: Found;
  readonly golfers: number;
  readonly swings: number;
  readonly model: Model;
}

/**
 * outcome ~ predictor inside golfers x (usual turn, turn of the swing), golfers' own levels and slopes, Kenward-Roger. Null
 * where the turn was not measured or nothing can be fitted.
 */
export function moderationBy(
  swings: Swings,
  {
    predictor,
    outcome,
    turn,
  }: { readonly predictor: string; readonly outcome: string; readonly turn: string },
  level: number,
): Moderation | null {
  const frame = frameOf(swings, [predictor, outcome, turn]);
  if (frame.golfers < 8) return null;
  const model: Model = {
    outcome,
    fixed: [
      'intercept',
      ...['inside', 'level', 'usual turn', 'turn', 'inside x usual turn', 'inside x turn'].map((column) => ({
        column,
      })),
    ],
    random: [
      { group: 'golfer', effects: ['intercept', 'inside'], covariance: 'diagonal' },
      ...(frame.sessions > frame.golfers
        ? [{ group: ['golfer', 'session'], effects: ['intercept' as const] }]
        : []),
    ],
    inference: { degreesOfFreedom: 'kenward-roger', level },
  };
  const fitted = isSummed(swings)
    ? fitOfSums(frame, model, { predictor, outcome, turn })
    : fitModel(model, columnsFor(swings, { predictor, outcome, turn }));
  if (!fitted.ok || !fitted.fit.result.diagnosis.converged) return null;
  const pick = (term: string): Found | null => {
    const one = fitted.fit.result.fixed.find((estimate) => estimate.term === term);
    return one === undefined ? null : found(one.estimate, one.standardError, one.degreesOfFreedom, level);
  };
  const [byUsual, byOwn] = [pick('inside x usual turn'), pick('inside x turn')];
  if (byUsual === null || byOwn === null) return null;
  return { turn, usual: byUsual, ofSwing: byOwn, golfers: frame.golfers, swings: frame.size, model };
}

interface Columns {
  readonly predictor: string;
  readonly outcome: string;
  readonly turn: string;
}

function columnsFor(swings: readonly MechanismSwing[], { predictor, outcome, turn }: Columns) {
  const all = columnsOfSwings(swings, [predictor, outcome, turn]);
  const inside = all.within[predictor]!;
  const [usual, own] = [all.between[turn]!, all.within[turn]!];
  return {
    golfer: all.swings.map(({ golfer }) => golfer),
    session: all.swings.map(({ session }) => session),
    [outcome]: all.raw[outcome]!,
    inside,
    level: all.between[predictor]!,
    'usual turn': usual,
    turn: own,
    'inside x usual turn': inside.map((value, i) => value * usual[i]!),
    'inside x turn': inside.map((value, i) => value * own[i]!),
  };
}

/**
 * The same from sums. With departures dx and dt from the session's means, and a and b the departures of those means from the
 * golfer's, (dx + a)(dt + b) is the product dx dt, which was summed as a column of its own, and what is linear in dx and dt.
 */
function fitOfSums(frame: Frame, model: Model, { predictor, outcome, turn }: Columns) {
  const { cells, columns } = frame;
  const [x, y, t] = [predictor, outcome, turn].map((column) => columns.indexOf(column)) as [
    number,
    number,
    number,
  ];
  const product = columns.length;
  const [elbow, lean, body] = [predictor, outcome, turn].map((column) => partsOf(frame, column)) as [
    ReturnType<typeof partsOf>,
    ReturnType<typeof partsOf>,
    ReturnType<typeof partsOf>,
  ];
  return fitCells(frame, model, [
    { name: 'inside', means: elbow.within, departures: [{ column: x, factor: 1 }] },
    { name: 'turn', means: body.within, departures: [{ column: t, factor: 1 }] },
    {
      name: 'inside x turn',
      means: elbow.within.map((a, s) => cells.means[product]![s]! + a * body.within[s]!),
      departures: [
        { column: product, factor: 1 },
        { column: t, factor: elbow.within },
        { column: x, factor: body.within },
      ],
    },
    {
      name: 'inside x usual turn',
      means: elbow.within.map((a, s) => a * body.between[s]!),
      departures: [{ column: x, factor: body.between }],
    },
    { name: 'level', means: elbow.between, departures: [] },
    { name: 'usual turn', means: body.between, departures: [] },
    { name: outcome, means: lean.raw, departures: [{ column: y, factor: 1 }] },
  ]);
}
