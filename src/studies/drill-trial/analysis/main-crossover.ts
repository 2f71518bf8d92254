import { type Fit, type Model, moments } from '../../../stats/index.ts';
import type { SwingGroup } from '../input/trial-data.ts';
import { attemptGroups, type SmallSample } from './cell-model.ts';
import { bareEffect, type Effect, effectOf, NO_EFFECT, type OwnChange, whenAsked } from './effect.ts';
import { golferMeans } from './golfer-means.ts';
import type { MainAnalysis, MainRequest } from './main-analysis.ts';
import { meanEffect } from './main-golfer-means.ts';
import { neverVaries, nothing, sameValue, smallSampleWords } from './no-analysis.ts';
import { ownChanges } from './own-changes.ts';

/** The column that is 1 in the second period. */
export const SECOND = 'second_period';

/**
 * A crossover of two arms in two periods (Senn 2002, Cross-over Trials in Clinical Research, ch. 3): swings after
 * each period on the period and the arm, with a level for each golfer and for each golfer's period, so that a
 * golfer is his or her own control and the interval rests on golfers, not on swings.
 */
export function analyseCrossover(rows: readonly SwingGroup[], request: MainRequest): MainAnalysis {
  const { design, outcome, level, degreesOfFreedom, near = null } = request;
  const drill = design.drills[0]!;
  if (rows.length === 0) return nothing('No full swing was measured after either period.');
  if (neverVaries(rows)) return nothing(sameValue(rows));
  const cells = golferMeans(rows, (row) => row.arm);
  const both = [...cells].filter(([, own]) => own.size === 2);
  const differences = both.map(([, own]) => own.get(drill)!.mean - own.get(design.control!)!.mean);
  const replicated = [...cells.values()].some((own) => [...own.values()].some((cell) => cell.count > 1));
  const several = [...cells.values()].filter((own) =>
    [...own.values()].some((cell) => cell.sessions > 1),
  ).length;
  const notes: string[] = [];
  const data = {
    golfer_id: rows.map((row) => row.golfer),
    period: rows.map((row) => `period ${row.period}`),
    session_id: rows.map((row) => row.session),
    [SECOND]: rows.map((row) => (row.period === 2 ? 1 : 0)),
    drill: rows.map((row) => (row.arm === drill ? 1 : 0)),
  };
  const shared = {
    used: new Set(rows),
    unusedWhy: '',
    anyDifference: null,
  };
  if (both.length >= 4)
    for (const sessions of several >= 3 && replicated ? [true, false] : [false]) {
      const model = crossoverModel(outcome, replicated, sessions, level, degreesOfFreedom);
      const fit = attemptGroups(model, data, rows, near);
      if (typeof fit === 'string') {
        notes.push(`The crossover model${sessions ? ' with sessions' : ''} could not be used: ${fit}.`);
        continue;
      }
      return {
        ...shared,
        form: replicated ? 'swings' : 'golfer-means',
        words: `Every full swing after each period counts. The two periods and the two arms may differ in their mean; each golfer has a level of his or her own${replicated ? ', and another for each period' : ''}${sessions ? '; sessions differ within a period' : ''}. Fitted by restricted maximum likelihood, with ${smallSampleWords(degreesOfFreedom)} degrees of freedom.`,
        objects: [model],
        effects: new Map([[drill, effectOf(fit.combine({ fixed: { drill: 1 } }, level))]]),
        notes: [...notes, ...fit.result.diagnosis.notes],
        boundary: fit.result.diagnosis.boundary,
        daysApart: sessions,
        golferChange: replicated ? whenAsked(() => ownDifferences(fit, rows, drill, level)) : () => null,
        fit,
      };
    }
  else notes.push(`Only ${both.length} golfers were measured in both periods; the crossover model needs 4.`);
  const effect = byDifferences(
    both.map(([golfer]) => golfer),
    differences,
    rows,
    drill,
    level,
  );
  const ids = new Set(both.map(([golfer]) => golfer));
  return {
    ...shared,
    form: effect.interval === null ? 'bare' : 'golfer-means',
    words: "The mean of the golfers' own differences between the drill and the control.",
    objects: [],
    effects: new Map([[drill, effect]]),
    used: new Set(rows.filter((row) => ids.has(row.golfer))),
    unusedWhy: 'the golfer was not measured in both periods',
    notes,
    boundary: [],
    daysApart: false,
    golferChange: () => null,
    fit: null,
  };
}

/** The model of a crossover: periods and arms differ in their mean, golfers and their periods in level. */
export function crossoverModel(
  outcome: string,
  replicated: boolean,
  sessions: boolean,
  level: number,
  degreesOfFreedom: SmallSample,
): Model {
  return {
    outcome,
    distribution: 'normal',
    fixed: ['intercept', { column: SECOND }, { column: 'drill' }],
    random: [
      { group: 'golfer_id', effects: ['intercept'] },
      ...(replicated ? [{ group: ['golfer_id', 'period'], effects: ['intercept' as const] }] : []),
      ...(sessions
        ? [{ group: ['golfer_id', 'period', 'session_id'], effects: ['intercept' as const] }]
        : []),
    ],
    criterion: 'reml',
    inference: { degreesOfFreedom, level },
  };
}

/** Drill minus control for each golfer who had both, from the levels of his or her two periods. */
function ownDifferences(
  fit: Fit,
  rows: readonly SwingGroup[],
  drill: string,
  level: number,
): ReadonlyMap<string, OwnChange> {
  const periodOf = new Map<string, { drill?: number; control?: number }>();
  for (const row of rows) {
    const own = periodOf.get(row.golfer) ?? {};
    if (row.arm === drill) own.drill = row.period;
    else own.control = row.period;
    periodOf.set(row.golfer, own);
  }
  const part = (golfer: string, period: number, sign: number) => ({
    group: 'golfer_id / period',
    level: `${golfer} / period ${period}`,
    weights: { intercept: sign },
  });
  const asked = [...periodOf].flatMap(([golfer, own]) => {
    if (own.drill === undefined || own.control === undefined) return [];
    const random = [part(golfer, own.drill, 1), part(golfer, own.control, -1)];
    return [[golfer, { fixed: { drill: 1 }, random }] as const];
  });
  return ownChanges(fit, asked, level);
}

/** Golfers' differences, the two orders counted alike so that a shift between periods cancels. */
function byDifferences(
  golfers: readonly string[],
  differences: readonly number[],
  rows: readonly SwingGroup[],
  drill: string,
  level: number,
): Effect {
  const first = new Map<string, string>();
  for (const row of rows) if (row.period === 1) first.set(row.golfer, row.arm);
  const drillFirst = differences.filter((_, i) => first.get(golfers[i]!) === drill);
  const controlFirst = differences.filter((_, i) => first.get(golfers[i]!) !== drill);
  const a = moments(drillFirst);
  const b = moments(controlFirst);
  if (a === null || b === null) return differences.length > 0 ? meanEffect(differences, level) : NO_EFFECT;
  return bareEffect((a.mean + b.mean) / 2);
}
