import { fitModel, type Model } from '../../../stats/index.ts';
import type { MechanismSwing } from '../input/swings.ts';
import { type Found, found } from './estimate.ts';

/** Whether the outcome of a swing goes before the predictor of the next one. */
export interface Reverse {
  /** The predictor's SDs inside a session for one SD of the outcome of the swing before, that swing's predictor held. */
  readonly standardised: Found;
  readonly golfers: number;
  readonly pairs: number;
}

/** Fewer pairs of neighbouring swings than this tell nothing. */
const LEAST_PAIRS = 60;

/**
 * predictor of a swing ~ outcome and predictor of the swing before, all less the session's mean; standard errors from
 * golfers (CR2: Pustejovsky and Tipton 2018, J Bus Econ Stat 36:672-683). Null with fewer than 60 pairs or 8 golfers.
 */
export function reverseOf(
  swings: readonly MechanismSwing[],
  predictor: string,
  outcome: string,
  level: number,
): Reverse | null {
  const bySession = new Map<string, MechanismSwing[]>();
  for (const swing of swings) {
    if (swing.order === null || swing.values[predictor] === null || swing.values[outcome] === null) continue;
    const own = bySession.get(swing.session);
    if (own === undefined) bySession.set(swing.session, [swing]);
    else own.push(swing);
  }
  const columns = {
    golfer: [] as string[],
    next: [] as number[],
    before: [] as number[],
    'outcome before': [] as number[],
  };
  for (const own of bySession.values()) {
    own.sort((a, b) => a.order! - b.order!);
    const x = centred(own.map(({ values }) => values[predictor]!));
    const y = centred(own.map(({ values }) => values[outcome]!));
    for (let k = 1; k < own.length; k++) {
      if (own[k]!.order !== own[k - 1]!.order! + 1) continue;
      columns.golfer.push(own[k]!.golfer);
      columns.next.push(x[k]!);
      columns.before.push(x[k - 1]!);
      columns['outcome before'].push(y[k - 1]!);
    }
  }
  const pairs = columns.next.length;
  const golfers = new Set(columns.golfer).size;
  if (pairs < LEAST_PAIRS || golfers < 8) return null;
  const model: Model = {
    outcome: 'next',
    fixed: ['intercept', { column: 'outcome before' }, { column: 'before' }],
    inference: { robust: { kind: 'cr2', group: 'golfer' }, level },
  };
  const fitted = fitModel(model, columns);
  if (!fitted.ok) return null;
  const slope = fitted.fit.result.fixed.find(({ term }) => term === 'outcome before');
  if (slope === undefined) return null;
  const scale = rootMeanSquare(columns['outcome before']) / rootMeanSquare(columns.next);
  return {
    standardised: found(slope.estimate * scale, slope.standardError * scale, slope.degreesOfFreedom, level),
    golfers,
    pairs,
  };
}

function centred(values: readonly number[]): number[] {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return values.map((value) => value - mean);
}

function rootMeanSquare(values: readonly number[]): number {
  return Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);
}
