import { meanInterval, moments, unequalSpreadDifference } from '../../stats/index.ts';
import { type CellRow, fitCellModel, type SmallSample } from './cell-model.ts';
import { type BeforeAfter, fitConditional } from './conditional-model.ts';
import { bareEffect, type Effect, NO_EFFECT } from './effect.ts';
import { type GolferCell, golferMeans } from './golfer-means.ts';
import type { MainAnalysis, MainRequest } from './main-analysis.ts';
import type { TrialRow } from './trial-data.ts';

type Means = ReadonlyMap<string, ReadonlyMap<string, GolferCell>>;

/**
 * Parallel groups with a control, or one group before and after. From the fullest model down to what the data
 * still carry: swings with sessions, swings, one mean per golfer and phase, a bare difference without an interval.
 */
export function analyseGroups(rows: readonly TrialRow[], request: MainRequest): MainAnalysis {
  const cells = ['baseline', 'post'].filter((cell) => rows.some((row) => row.phase === cell));
  const cellRows: CellRow[] = rows.map((row) => ({ ...row, cell: row.phase }));
  const means = golferMeans(cellRows);
  const notes: string[] = [];
  if (cells[0] === 'post' && request.design.control !== null)
    notes.push(
      'No swing was measured at baseline, so the arms are compared after the drill only: a difference they started with cannot be taken out.',
    );
  if (rows.length > 0 && rows.every((row) => row.value === rows[0]!.value))
    return nothing(
      `Every swing has the same value, ${rows[0]!.value}; where nothing varies, nothing can be estimated.`,
    );
  const reason = tooThinForSwings(means, cells, request);
  if (reason === null) {
    const bySwings = analyseSwings(cellRows, means, cells, request, notes);
    if (bySwings !== null) return bySwings;
  } else notes.push(reason);
  return analyseMeans(rows, means, cells, request, notes);
}

function tooThinForSwings(means: Means, cells: readonly string[], { design }: MainRequest): string | null {
  const golfers = [...means.values()];
  if (golfers.every((own) => [...own.values()].every((cell) => cell.values.length < 2)))
    return 'Each golfer has one swing in a phase, so the analysis is of one value per golfer and phase.';
  const whole = golfers.filter((own) => cells.every((cell) => own.has(cell))).length;
  const needed = design.drills.length + (design.control === null ? 2 : 3);
  return whole < needed
    ? `Only ${whole} ${whole === 1 ? 'golfer has' : 'golfers have'} swings in every phase that is compared; the model of single swings needs ${needed}.`
    : null;
}

function analyseSwings(
  cellRows: readonly CellRow[],
  means: Means,
  cells: readonly string[],
  { design, outcome, level, degreesOfFreedom }: MainRequest,
  notes: string[],
): MainAnalysis | null {
  const compared = design.control === null ? [] : design.drills;
  const measured = compared.filter((arm) => cellRows.some((row) => row.arm === arm && row.cell === 'post'));
  const controlMeasured = cellRows.some((row) => row.arm === design.control && row.cell === 'post');
  if (design.control !== null && (measured.length === 0 || !controlMeasured)) return null;
  if (design.control === null && cells.length < 2) return null;
  const several = [...means.values()].filter((own) =>
    [...own.values()].some((cell) => cell.sessions > 1),
  ).length;
  for (const sessions of several >= 3 ? [true, false] : [false]) {
    const effects = measured.map((arm) => ({ arm, cell: 'post' }));
    const fitted = fitCellModel({
      outcome,
      rows: cellRows,
      cells,
      effects,
      sessions,
      level,
      degreesOfFreedom,
    });
    if (typeof fitted === 'string') {
      notes.push(
        `The model of single swings${sessions ? ' with sessions' : ''} could not be used: ${fitted}.`,
      );
      continue;
    }
    const { result } = fitted.fit;
    const armOf = new Map(cellRows.map((row) => [row.golfer, row.arm]));
    const effectOfArm = (arm: string): Effect =>
      design.control === null ? fitted.change(arm, 'post', 'baseline') : fitted.effect(arm, 'post');
    return {
      form: 'swings',
      words: swingWords(cells, design.control !== null, sessions, degreesOfFreedom),
      objects: [fitted.model],
      effects: new Map(design.drills.map((arm) => [arm, effectOfArm(arm)])),
      used: new Set(cellRows.map((row) => (row as CellRow & { swing: string }).swing)),
      unusedWhy: '',
      notes: [...notes, ...result.diagnosis.notes],
      boundary: result.diagnosis.boundary,
      noise: {
        swing: result.residualSd,
        session: sessions ? (result.random.at(-1)?.sd[0] ?? null) : null,
      },
      anyDifference: null,
      golferChange: (golfer) => {
        const own = means.get(golfer);
        if (cells.length < 2 || own === undefined || own.size < 2) return null;
        return fitted.golferChange(golfer, armOf.get(golfer)!, 'post', 'baseline');
      },
    };
  }
  return null;
}

function analyseMeans(
  rows: readonly TrialRow[],
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
    used: new Set(rows.filter((row) => ids.has(row.golfer)).map((row) => row.swing)),
    unusedWhy: 'the golfer has no swing in the other phase, which an analysis of one value per golfer needs',
    boundary: [],
    noise: { swing: swingSd(means), session: null },
    golferChange: () => null,
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
  shared: Pick<MainAnalysis, 'used' | 'unusedWhy' | 'boundary' | 'noise' | 'golferChange'>,
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

/** SD from swing to swing, pooled over golfers and phases; null where no golfer has two swings in a phase. */
function swingSd(means: Means): number | null {
  let squares = 0;
  let df = 0;
  for (const own of means.values())
    for (const cell of own.values()) {
      for (const value of cell.values) squares += (value - cell.mean) ** 2;
      df += cell.values.length - 1;
    }
  return df > 0 ? Math.sqrt(squares / df) : null;
}

export function nothing(why: string): MainAnalysis {
  return {
    form: 'none',
    words: `No model was fitted. ${why}`,
    objects: [],
    effects: new Map(),
    used: new Set(),
    unusedWhy: 'no comparison could be made',
    notes: [why],
    boundary: [],
    noise: { swing: null, session: null },
    anyDifference: null,
    golferChange: () => null,
  };
}

function swingWords(
  cells: readonly string[],
  controlled: boolean,
  sessions: boolean,
  method: SmallSample,
): string {
  const opening =
    cells.length < 2
      ? 'Every full swing after the drill counts. The arms differ in their mean.'
      : controlled
        ? 'Every full swing before and after counts. The arms share one mean before the drill, since they then differ only by chance, and may differ after it.'
        : 'Every full swing before and after counts. The group has one mean before and one after.';
  const golfer =
    cells.length < 2
      ? ' Each golfer has a level of his or her own.'
      : ' Each golfer has a level of his or her own before and another after, and the two may go together in any way.';
  return `${opening}${golfer}${sessions ? ' Sessions differ within a golfer.' : ''} Swings vary around that. Fitted by restricted maximum likelihood, with ${smallSampleWords(method)} degrees of freedom for small numbers.`;
}

export function smallSampleWords(method: SmallSample): string {
  return method === 'kenward-roger' ? 'Kenward-Roger' : 'Satterthwaite';
}
