import { meanInterval, moments, unequalSpreadDifference } from '../../../stats/index.ts';
import type { SwingGroup } from '../input/trial-data.ts';
import { type BeforeAfter, fitConditional } from './conditional-model.ts';
import { bareEffect, type Effect, NO_EFFECT } from './effect.ts';
import type { GolferCell } from './golfer-means.ts';
import type { MainAnalysis, MainRequest } from './main-analysis.ts';
import { nothing } from './no-analysis.ts';

export type Means = ReadonlyMap<string, ReadonlyMap<string, GolferCell>>;

/** One mean per golfer and phase: the conditional form where it can be fitted, else golfers' changes alone. */
export function analyseMeans(
  rows: readonly SwingGroup[],
  means: Means,
  cells: readonly string[],
  { design, level }: MainRequest,
  notes: readonly string[],
): MainAnalysis {
  const armOf = new Map(rows.map((row) => [row.golfer, row.arm]));
  const whole = [...means].filter(([, own]) => cells.every((cell) => own.has(cell)));
  const pairs: BeforeAfter[] = whole.map(([golfer, own]) => ({
    golfer,
    arm: armOf.get(golfer)!,
    before: own.get('baseline')?.mean ?? 0,
    after: own.get('post')?.mean ?? Number.NaN,
  }));
  const ids = new Set(pairs.map((pair) => pair.golfer));
  const shared = {
    used: new Set(rows.filter((row) => ids.has(row.golfer))),
    unusedWhy: 'the golfer has no swing in the other phase, which an analysis of one value per golfer needs',
    boundary: [],
    daysApart: false,
    golferChange: () => null,
    fit: null,
  };
  if (cells.at(-1) !== 'post' || pairs.length === 0)
    return nothing('No golfer has what the comparison needs: swings both before and after.');
  if (design.control === null && cells.length < 2)
    return nothing('Without a baseline and without a control there is nothing to compare with.');
  if (design.control !== null && cells.length === 2) {
    const present = design.drills.filter((arm) => pairs.some((pair) => pair.arm === arm));
    const usable = pairs.filter((pair) => pair.arm === design.control || present.includes(pair.arm));
    const fitted =
      usable.length >= present.length + 3
        ? fitConditional(usable, design.control, present, level)
        : `${usable.length} golfers are too few for it`;
    if (typeof fitted !== 'string') {
      const test = fitted.fit.result.tests.find((entry) => entry.effect === 'arm');
      return {
        ...shared,
        form: 'golfer-means',
        words:
          "Each golfer's mean after, on the golfer's mean before and the arm, by least squares: the baseline-constrained comparison for one value per golfer and phase.",
        objects: [fitted.model],
        effects: new Map(design.drills.map((arm) => [arm, fitted.effect(arm)])),
        notes,
        anyDifference:
          test === undefined || present.length < 2
            ? null
            : `F(${test.numeratorDf}, ${test.denominatorDf}) = ${test.f.toFixed(2)}, p = ${test.pValue.toPrecision(2)}`,
      };
    }
    return bare(
      pairs,
      design.control,
      design.drills,
      level,
      cells.length,
      [...notes, `The comparison adjusted for baseline could not be made: ${fitted}.`],
      shared,
    );
  }
  return bare(pairs, design.control, design.drills, level, cells.length, notes, shared);
}

/** What can be said of golfers' changes (or of their values after, without a baseline) by counting alone. */
function bare(
  pairs: readonly BeforeAfter[],
  control: string | null,
  drills: readonly string[],
  level: number,
  phases: number,
  notes: readonly string[],
  shared: Pick<MainAnalysis, 'used' | 'unusedWhy' | 'boundary' | 'daysApart' | 'golferChange' | 'fit'>,
): MainAnalysis {
  const changes = (arm: string) =>
    pairs.filter((pair) => pair.arm === arm).map((pair) => pair.after - pair.before);
  const effect = (arm: string): Effect => {
    const own = moments(changes(arm));
    if (own === null) return NO_EFFECT;
    if (control === null) return meanEffect(changes(arm), level);
    const other = moments(changes(control));
    if (other === null) return NO_EFFECT;
    const difference = unequalSpreadDifference(changes(arm), changes(control), level);
    return difference === null
      ? bareEffect(own.mean - other.mean)
      : { ...difference, value: difference.difference };
  };
  const effects = new Map(drills.map((arm) => [arm, effect(arm)]));
  const sure = [...effects.values()].some((entry) => entry.interval !== null);
  const alike = drills.every((arm) => moments(changes(arm))?.sd === 0);
  const noInterval = alike
    ? 'without an interval: golfers of an arm do not vary at all, which measured swings do not do'
    : 'without an interval: there are too few golfers for one';
  const subject = phases === 2 ? "golfers' mean changes" : "golfers' means after the drill";
  return {
    ...shared,
    form: sure ? 'golfer-means' : 'bare',
    words:
      control === null
        ? `The mean of the golfers' own changes, ${sure ? 'with the interval of a mean over golfers' : noInterval}.`
        : `The difference of ${subject} between the arms, ${
            sure ? 'spreads not taken as equal (Welch)' : noInterval
          }.`,
    objects: [],
    effects,
    notes,
    anyDifference: null,
  };
}

/** Mean of the values with its interval over golfers; without one when they are too few or all equal. */
export function meanEffect(values: readonly number[], level: number): Effect {
  const sample = moments(values);
  if (sample === null) return NO_EFFECT;
  if (sample.sd === null || sample.sd === 0) return bareEffect(sample.mean);
  return {
    value: sample.mean,
    interval: meanInterval(values, level),
    standardError: sample.sd / Math.sqrt(sample.n),
    degreesOfFreedom: sample.n - 1,
  };
}
