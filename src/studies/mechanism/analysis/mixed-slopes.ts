import type { Estimate, Fit, Model } from '../../../stats/index.ts';
import type { Found } from './estimate.ts';
import { type FrameColumn, fitCells, partsOf } from './fit-cells.ts';
import type { Frame } from './frame.ts';

/** A mixed model of one column on others, the parts within and between golfers apart. */
export interface MixedSlopes {
  readonly model: Model;
  readonly fit: Fit;
  /** Slopes per unit, by predictor. */
  readonly within: Readonly<Record<string, Found>>;
  readonly between: Readonly<Record<string, Found>>;
  /** SD of golfers' own slopes; null where the model has no random slope. */
  readonly slopeSd: Readonly<Record<string, number | null>>;
  /** SD of what is left of a single swing. */
  readonly residualSd: number;
  /** What had to be simplified, in words. */
  readonly notes: readonly string[];
}

export interface MixedRequest {
  readonly frame: Frame;
  readonly outcome: string;
  readonly predictors: readonly string[];
  readonly level: number;
}

interface Form {
  readonly slopes: boolean;
  readonly sessions: boolean;
  readonly note: string | null;
}

/**
 * outcome ~ predictor within + predictor between, for each predictor, with golfers' own levels and slopes, and sessions'
 * own levels where golfers came more than once. Kenward-Roger degrees of freedom. What does not converge is left out, the
 * sessions last, and said. Null where nothing can be fitted.
 */
export function mixedSlopes(request: MixedRequest): MixedSlopes | null {
  const several = request.frame.sessions > request.frame.golfers;
  const forms: Form[] = [
    { slopes: true, sessions: several, note: null },
    {
      slopes: false,
      sessions: several,
      note: 'Golfers’ own slopes could not be estimated beside their levels; one slope was taken for all.',
    },
    {
      slopes: false,
      sessions: false,
      note: 'Only golfers’ own levels could be estimated; days and own slopes were left out.',
    },
  ];
  for (const form of forms) {
    const { model, columns } = modelOf(request, form);
    const outcome = fitCells(request.frame, model, columns);
    if (!outcome.ok || !outcome.fit.result.diagnosis.converged) continue;
    return read(request, model, outcome.fit, form);
  }
  return null;
}

const WITHIN = 'within';
const BETWEEN = 'between';
const term = (column: string, part: string) => `${column} ${part}`;

function modelOf({ frame, outcome, predictors, level }: MixedRequest, form: Form) {
  const departures = (column: string) => [{ column: frame.columns.indexOf(column), factor: 1 }];
  const parts = new Map(predictors.map((column) => [column, partsOf(frame, column)]));
  const columns: FrameColumn[] = [
    ...predictors.map((column) => ({
      name: term(column, WITHIN),
      means: parts.get(column)!.within,
      departures: departures(column),
    })),
    ...predictors.map((column) => ({
      name: term(column, BETWEEN),
      means: parts.get(column)!.between,
      departures: [],
    })),
    { name: outcome, means: partsOf(frame, outcome).raw, departures: departures(outcome) },
  ];
  const model: Model = {
    outcome,
    fixed: [
      'intercept',
      ...predictors.map((column) => ({ column: term(column, WITHIN) })),
      ...(frame.golfers > predictors.length + 2
        ? predictors.map((column) => ({ column: term(column, BETWEEN) }))
        : []),
    ],
    random: [
      {
        group: 'golfer',
        effects: ['intercept', ...(form.slopes ? predictors.map((column) => term(column, WITHIN)) : [])],
        covariance: predictors.length > 1 ? 'diagonal' : 'full',
      },
      ...(form.sessions ? [{ group: ['golfer', 'session'], effects: ['intercept' as const] }] : []),
    ],
    inference: { degreesOfFreedom: 'kenward-roger', level },
  };
  return { model, columns };
}

function read({ predictors }: MixedRequest, model: Model, fit: Fit, form: Form): MixedSlopes {
  const { fixed, random, residualSd, diagnosis } = fit.result;
  const byTerm = new Map(fixed.map((estimate) => [estimate.term, estimate]));
  const own = random.find(({ group }) => group === 'golfer');
  const pick = (part: string): Record<string, Found> =>
    Object.fromEntries(
      predictors.flatMap((column) => {
        const estimate = byTerm.get(term(column, part));
        return estimate === undefined ? [] : [[column, foundOf(estimate)]];
      }),
    );
  return {
    model,
    fit,
    within: pick(WITHIN),
    between: pick(BETWEEN),
    slopeSd: Object.fromEntries(
      predictors.map((column) => {
        const at = own?.effects.indexOf(term(column, WITHIN)) ?? -1;
        return [column, at < 0 ? null : own!.sd[at]!];
      }),
    ),
    residualSd,
    notes: [...(form.note === null ? [] : [form.note]), ...diagnosis.notes],
  };
}

function foundOf({ estimate, standardError, degreesOfFreedom, interval }: Estimate): Found {
  return { value: estimate, standardError, degreesOfFreedom, interval };
}
