import { COVARIATE_WORDS, type Covariate } from '../../shared/covariates.ts';
import { list } from '../../shared/words.ts';
import type { SwingGroup } from '../input/trial-data.ts';
import { fitCellModel, type SmallSample } from './cell-model.ts';
import { type Effect, whenAsked } from './effect.ts';
import { golferMeans } from './golfer-means.ts';
import type { MainAnalysis, MainRequest } from './main-analysis.ts';
import { analyseMeans, type Means } from './main-golfer-means.ts';
import { neverVaries, nothing, sameValue, smallSampleWords } from './no-analysis.ts';

/**
 * Parallel groups with a control, or one group before and after. From the fullest model down to what the data
 * still carry: swings with sessions, swings, one mean per golfer and phase, a bare difference without an interval.
 */
export function analyseGroups(rows: readonly SwingGroup[], request: MainRequest): MainAnalysis {
  const cells = ['baseline', 'post'].filter((cell) => rows.some((row) => row.phase === cell));
  const means = golferMeans(rows, phaseOf);
  const notes: string[] = [];
  if (cells[0] === 'post' && request.design.control !== null)
    notes.push(
      'No swing was measured at baseline, so the arms are compared after the drill only: a difference they started with cannot be taken out.',
    );
  if (neverVaries(rows)) return nothing(sameValue(rows));
  const reason = tooThinForSwings(means, cells, request);
  if (reason === null) {
    const bySwings = analyseSwings(rows, means, cells, request, notes);
    if (bySwings !== null) return bySwings;
  } else notes.push(reason);
  return analyseMeans(rows, means, cells, request, notes);
}

function phaseOf(row: SwingGroup): string {
  return row.phase;
}

function tooThinForSwings(means: Means, cells: readonly string[], { design }: MainRequest): string | null {
  const golfers = [...means.values()];
  if (golfers.every((own) => [...own.values()].every((cell) => cell.count < 2)))
    return 'Each golfer has one swing in a phase, so the analysis is of one value per golfer and phase.';
  const whole = golfers.filter((own) => cells.every((cell) => own.has(cell))).length;
  const needed = design.drills.length + (design.control === null ? 2 : 3);
  return whole < needed
    ? `Only ${whole} ${whole === 1 ? 'golfer has' : 'golfers have'} swings in every phase that is compared; the model of single swings needs ${needed}.`
    : null;
}

function analyseSwings(
  rows: readonly SwingGroup[],
  means: Means,
  cells: readonly string[],
  { design, outcome, level, degreesOfFreedom, covariates = [], near = null }: MainRequest,
  notes: string[],
): MainAnalysis | null {
  const compared = design.control === null ? [] : design.drills;
  const measured = compared.filter((arm) => rows.some((row) => row.arm === arm && row.phase === 'post'));
  const controlMeasured = rows.some((row) => row.arm === design.control && row.phase === 'post');
  if (design.control !== null && (measured.length === 0 || !controlMeasured)) return null;
  if (design.control === null && cells.length < 2) return null;
  const several = [...means.values()].filter((own) =>
    [...own.values()].some((cell) => cell.sessions > 1),
  ).length;
  for (const sessions of several >= 3 ? [true, false] : [false]) {
    const effects = measured.map((arm) => ({ arm, cell: 'post' }));
    const fitted = fitCellModel({
      outcome,
      rows,
      cellOf: phaseOf,
      cells,
      effects,
      sessions,
      level,
      degreesOfFreedom,
      covariates,
      near,
    });
    if (typeof fitted === 'string') {
      notes.push(
        `The model of single swings${sessions ? ' with sessions' : ''} could not be used: ${fitted}.`,
      );
      continue;
    }
    const { result } = fitted.fit;
    const armOf = new Map(rows.map((row) => [row.golfer, row.arm]));
    const effectOfArm = (arm: string): Effect =>
      design.control === null ? fitted.change(arm, 'post', 'baseline') : fitted.effect(arm, 'post');
    return {
      form: 'swings',
      words: swingWords(cells, design.control !== null, sessions, degreesOfFreedom, covariates),
      objects: [fitted.model],
      effects: new Map(design.drills.map((arm) => [arm, effectOfArm(arm)])),
      used: new Set(rows),
      unusedWhy: '',
      notes: [...notes, ...result.diagnosis.notes],
      boundary: result.diagnosis.boundary,
      anyDifference: null,
      daysApart: sessions,
      golferChange: whenAsked(() => {
        if (cells.length < 2) return new Map();
        const both = [...means].filter(([, own]) => own.size === 2);
        const asked = both.map(([golfer]) => ({ golfer, arm: armOf.get(golfer)! }));
        return fitted.golferChanges(asked, 'post', 'baseline');
      }),
      fit: fitted.fit,
    };
  }
  return null;
}

function swingWords(
  cells: readonly string[],
  controlled: boolean,
  sessions: boolean,
  method: SmallSample,
  covariates: readonly string[],
): string {
  const opening =
    cells.length < 2
      ? 'Every full swing after the drill counts. The arms differ in their mean.'
      : controlled
        ? 'Every full swing before and after counts. The arms share one mean before the drill, since they then differ only by chance, and may differ after it.'
        : 'Every full swing before and after counts. The group has one mean before and one after.';
  const adjusted =
    covariates.length === 0
      ? ''
      : ` Adjusted for ${list(covariates.map((name) => COVARIATE_WORDS[name as Covariate] ?? name))}.`;
  const golfer =
    cells.length < 2
      ? ' Each golfer has a level of his or her own.'
      : ' Each golfer has a level of his or her own before and another after, and the two may go together in any way.';
  return `${opening}${golfer}${sessions ? ' Sessions differ within a golfer.' : ''} Swings vary around that.${adjusted} Fitted by restricted maximum likelihood, with ${smallSampleWords(method)} degrees of freedom for small numbers.`;
}
