/**
 * How long the model engine takes, against the time general-purpose statistics software took for the same work.
 * Run with `npx tsx tests/bench/models.ts` on an idle machine. Prints one line per piece of work: our median, the
 * reference median (measured earlier on this kind of machine), and the ratio.
 */
import { readFileSync } from 'node:fs';
import { createStream, type Stream } from '../../src/numerics/index.ts';
import { type DataColumns, type Fit, fitModel, type Model } from '../../src/stats/index.ts';
import { sharedReference } from '../reference/shared.ts';
import { MODELS, readColumns } from '../stats/models/golden.ts';

interface Work {
  readonly name: string;
  readonly run: () => void;
  readonly repeats: number;
  readonly reference_ms: number;
  readonly wantedRatio: number;
}

function fitOf(model: Model, data: DataColumns): Fit {
  const outcome = fitModel(model, data);
  if (!outcome.ok) throw new Error(`bench: ${outcome.problems.map(({ found }) => found).join('; ')}`);
  return outcome.fit;
}

function median_ms({ run, repeats }: Work): number {
  for (let i = 0; i < Math.min(50, repeats - 1); i++) run();
  const times: number[] = [];
  for (let i = 0; i < repeats; i++) {
    const start = performance.now();
    run();
    times.push(performance.now() - start);
  }
  times.sort((a, b) => a - b);
  return times[Math.floor(times.length / 2)]!;
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

/** Outcomes drawn from a fitted intercept-and-slope model. */
function drawSleep(stream: Stream, { result }: Fit): Float64Array {
  const { sd, correlation } = result.random[0]!;
  const r = correlation[0]![1]!;
  const effects = new Map<number, [number, number]>();
  return Float64Array.from(sleep.Days!, (day, i) => {
    const subject = Number(sleep.Subject![i]);
    let u = effects.get(subject);
    if (!u) {
      const a = stream.normal();
      u = [sd[0]! * a, sd[1]! * (r * a + Math.sqrt(1 - r * r) * stream.normal())];
      effects.set(subject, u);
    }
    const [fixed0, fixed1] = result.fixed.map(({ estimate }) => estimate);
    return fixed0! + u[0] + (fixed1! + u[1]) * Number(day) + stream.normal(0, result.residualSd);
  });
}

/** 40 golfers, 2 sessions each, 10 swings a session: 1.5 between golfers, 0.5 between sessions, 1.5 between swings. */
const golfers = Array.from({ length: 800 }, (_, i) => `G${Math.floor(i / 20)}`);
const sessions = Array.from({ length: 800 }, (_, i) => (Math.floor(i / 10) % 2 === 0 ? 'a' : 'b'));
const trial: Model = {
  outcome: 'y',
  fixed: ['intercept', { column: 'session', levels: ['a', 'b'] }],
  random: [{ group: 'golfer', effects: ['intercept', 'session'] }],
};
function drawTrial(stream: Stream): DataColumns {
  const mean = Array.from({ length: 40 }, () => stream.normal(0, 1.5));
  const change = Array.from({ length: 40 }, () => stream.normal(0.4, 0.5));
  const y = Float64Array.from(golfers, (_, i) => {
    const g = Math.floor(i / 20);
    return mean[g]! + (sessions[i] === 'b' ? change[g]! : 0) + stream.normal(0, 1.5);
  });
  return { y, session: sessions, golfer: golfers };
}

function simulate(count: number, seed: number, one: (stream: Stream) => void): () => void {
  return () => {
    const stream = createStream(seed);
    for (let i = 0; i < count; i++) one(stream);
  };
}

const fitted = fitOf(by(slope, 'normal'), sleep);
const works: Work[] = [
  {
    name: 'sleep data, 180 rows, correlated slope, REML, from rows',
    run: () => fitOf(by(slope, 'normal'), sleep),
    repeats: 1000,
    reference_ms: 14,
    wantedRatio: 150,
  },
  {
    name: 'the same with Satterthwaite',
    run: () => fitOf(by(slope, 'satterthwaite'), sleep),
    repeats: 1000,
    reference_ms: 40,
    wantedRatio: 200,
  },
  {
    name: 'the same with Kenward-Roger',
    run: () => fitOf(by(slope, 'kenward-roger'), sleep),
    repeats: 1000,
    reference_ms: 99,
    wantedRatio: 200,
  },
  {
    name: '1,000 parametric bootstrap refits of it',
    run: simulate(1000, 1, (stream) =>
      fitOf(by(slope, 'normal'), { ...sleep, Reaction: drawSleep(stream, fitted) }),
    ),
    repeats: 3,
    reference_ms: 11_000,
    wantedRatio: 150,
  },
  {
    name: '1,000 simulate-and-refit, 40 golfers x 2 sessions x 10',
    run: simulate(1000, 2, (stream) => fitOf(by(trial, 'normal'), drawTrial(stream))),
    repeats: 3,
    reference_ms: 14_700,
    wantedRatio: 100,
  },
  {
    name: 'the same with Kenward-Roger each',
    run: simulate(1000, 2, (stream) => fitOf(by(trial, 'kenward-roger'), drawTrial(stream))),
    repeats: 3,
    reference_ms: 159_000,
    wantedRatio: 200,
  },
];
const pupils = sharedReference('models/egsingle_slopes_REML.json');
if (pupils !== null) {
  const { model } = JSON.parse(readFileSync(pupils, 'utf8')) as { model: Model };
  const data = typed(readColumns(pupils.replace('_slopes_REML.json', '.csv')));
  works.push({
    name: 'pupils in schools, 7,230 rows, two correlated slopes',
    run: () => fitOf(by(model, 'normal'), data),
    repeats: 15,
    reference_ms: 368,
    wantedRatio: 15,
  });
}

console.log(
  'Reference: median measured earlier on this kind of machine with general-purpose statistics software.',
);
for (const work of works) {
  const ours = median_ms(work);
  const ratio = work.reference_ms / ours;
  const verdict = ratio >= work.wantedRatio ? '' : `  short of ${work.wantedRatio} x`;
  console.log(
    `${work.name.padEnd(58)} ${ours.toPrecision(3).padStart(9)} ms  reference ${String(work.reference_ms).padStart(7)} ms  ${ratio.toFixed(1).padStart(6)} x${verdict}`,
  );
}
