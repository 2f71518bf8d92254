/** The pieces of work that the bench times: each from plain columns to a finished answer. */
import { readFileSync } from 'node:fs';
import {
  type DataColumns,
  drawRefits,
  type Fit,
  fitModel,
  type Model,
  type PreparedModel,
  prepareModel,
  profileIntervals,
  type Truth,
} from '../../../src/stats/index.ts';
import { sharedReference } from '../../reference/shared.ts';
import { MODELS, readColumns } from '../../stats/models/golden.ts';

export interface Work {
  /** As reference.R names it. */
  readonly name: string;
  readonly what: string;
  readonly repeats: number;
  /** Stated median of the reference on two cores, measured earlier. */
  readonly stated_ms: number;
  readonly wantedRatio: number;
  /** Whether the reference takes more than a few seconds. */
  readonly long: boolean;
  /** Null when the work cannot be done: the data or the fit are not available. */
  readonly run: (() => void) | null;
  readonly why?: string;
}

function fitted(model: Model, data: DataColumns): Fit {
  const outcome = fitModel(model, data);
  if (!outcome.ok) throw new Error(outcome.problems.map(({ found }) => found).join('; '));
  return outcome.fit;
}

function prepared(model: Model, data: DataColumns): PreparedModel {
  const outcome = prepareModel(model, data);
  if (!outcome.ok) throw new Error(outcome.problems.map(({ found }) => found).join('; '));
  return outcome.prepared;
}

/** Number columns as numbers, as a loader hands them over. */
function typed(columns: DataColumns): DataColumns {
  return Object.fromEntries(
    Object.entries(columns).map(([name, column]) => {
      const values = Array.from(column, Number);
      return [name, values.some(Number.isNaN) ? column : Float64Array.from(values)];
    }),
  );
}

const slope: Model = JSON.parse(readFileSync(`${MODELS}sleepstudy_slope_REML.json`, 'utf8')).model;
const sleep = typed(readColumns(`${MODELS}sleepstudy.csv`));
const by = (model: Model, degreesOfFreedom: 'kenward-roger' | 'satterthwaite' | 'normal'): Model => ({
  ...model,
  inference: { degreesOfFreedom },
});

/** 40 golfers, 2 sessions each, 10 swings a session: 1.5 between golfers, 0.5 between sessions, 1.5 between swings. */
const trialData: DataColumns = {
  golfer: Array.from({ length: 800 }, (_, i) => `G${String(Math.floor(i / 20)).padStart(2, '0')}`),
  session: Array.from({ length: 800 }, (_, i) => (Math.floor(i / 10) % 2 === 0 ? 'a' : 'b')),
};
const trial: Model = {
  outcome: 'y',
  fixed: ['intercept', { column: 'session', levels: ['a', 'b'] }],
  random: [{ group: 'golfer', effects: ['intercept', 'session'] }],
};
const truth: Truth = {
  fixed: { 'session=b': 0.4 },
  random: [{ sd: [1.5, 0.5] }],
  residualSd: 1.5,
};

let drawn = 0;
const mlFit = fitted({ ...slope, criterion: 'ml', inference: { degreesOfFreedom: 'normal' } }, sleep);

function larger(name: string, file: string, data: string, rest: Omit<Work, 'run' | 'why' | 'name'>): Work {
  const path = sharedReference(`models/${file}.json`);
  const table = sharedReference(`models/${data}.csv`);
  if (path === null || table === null) return { name, ...rest, run: null, why: 'the data are not here' };
  const { model } = JSON.parse(readFileSync(path, 'utf8')) as { model: Model };
  const columns = typed(readColumns(table));
  const plain = by(model, 'normal');
  const first = fitModel(plain, columns);
  if (!first.ok) return { name, ...rest, run: null, why: first.problems[0]!.found };
  return { name, ...rest, run: () => fitted(plain, columns) };
}

export function works(): Work[] {
  return [
    {
      name: 'sleep',
      what: 'sleep data, 180 rows, correlated slope, REML, from rows',
      run: () => fitted(by(slope, 'normal'), sleep),
      repeats: 2000,
      stated_ms: 14,
      wantedRatio: 150,
      long: false,
    },
    {
      name: 'sleep-satterthwaite',
      what: 'the same with Satterthwaite',
      run: () => fitted(by(slope, 'satterthwaite'), sleep),
      repeats: 2000,
      stated_ms: 40,
      wantedRatio: 200,
      long: false,
    },
    {
      name: 'sleep-kenward-roger',
      what: 'the same with Kenward-Roger',
      run: () => fitted(by(slope, 'kenward-roger'), sleep),
      repeats: 2000,
      stated_ms: 99,
      wantedRatio: 200,
      long: false,
    },
    {
      name: 'sleep-profile',
      what: 'profile intervals of all six parameters',
      run: () => profileIntervals(mlFit),
      repeats: 200,
      stated_ms: 1404,
      wantedRatio: 200,
      long: false,
    },
    {
      name: 'sleep-bootstrap',
      what: '1,000 parametric bootstrap refits',
      run: () =>
        drawRefits(prepared(by(slope, 'normal'), sleep), { of: 'outcomes', draws: 1000, seed: ++drawn }),
      repeats: 15,
      stated_ms: 11_000,
      wantedRatio: 150,
      long: true,
    },
    {
      name: 'trial',
      what: '1,000 simulate-and-refit, 40 golfers x 2 sessions x 10',
      run: () =>
        drawRefits(prepared(trial, trialData), { of: 'outcomes', truth, draws: 1000, seed: ++drawn }),
      repeats: 15,
      stated_ms: 14_700,
      wantedRatio: 100,
      long: true,
    },
    {
      name: 'trial-kenward-roger',
      what: 'the same with Kenward-Roger each',
      run: () =>
        drawRefits(prepared(trial, trialData), {
          of: 'outcomes',
          truth,
          draws: 1000,
          seed: ++drawn,
          tests: 'kenward-roger',
        }),
      repeats: 9,
      stated_ms: 159_000,
      wantedRatio: 200,
      long: true,
    },
    larger('pupils', 'egsingle_slopes_REML', 'egsingle', {
      what: 'pupils in schools, 7,230 rows, two correlated slopes',
      repeats: 15,
      stated_ms: 368,
      wantedRatio: 15,
      long: false,
    }),
    larger('lecturers', 'insteval_REML', 'insteval', {
      what: 'four crossed factors, 73,421 rows (lecturer ratings)',
      repeats: 1,
      stated_ms: 16_800,
      wantedRatio: 4,
      long: true,
    }),
    larger('crossed-binary', 'verbagg_crossed_laplace', 'verbagg', {
      what: 'crossed binary, 7,584 rows',
      repeats: 5,
      stated_ms: 1990,
      wantedRatio: 8,
      long: false,
    }),
    larger('ordinal', 'wine_judge_laplace', 'wine', {
      what: 'ordinal, one factor',
      repeats: 200,
      stated_ms: 26,
      wantedRatio: 30,
      long: false,
    }),
  ];
}
