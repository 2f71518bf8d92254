/**
 * How fast swings are simulated, on one core. Run with `npm run bench -- swings` on an idle machine; it prints rates and ratios
 * and asserts nothing.
 */
import { createStream } from '../../src/numerics/index.ts';
import {
  drawGolfer,
  drawSession,
  drawSwing,
  mechanicalSwing,
  SIMULATED_GOLFERS,
} from '../../src/synthetic/bodies/index.ts';
import {
  SKILLED_BODY,
  SKILLED_TIMINGS,
  type SwingBody,
  simulateDownswing,
  summarisedDownswing,
} from '../../src/synthetic/mechanics/index.ts';

const ROUNDS = 9;
const SWINGS = 200;
const WANTED_MS = 2;
const COHORT_SWINGS = 4000;
const WANTED_COHORT_S = 10;

/** Bodies that differ a little, so that no swing is the one before. */
const bodies: readonly SwingBody[] = Array.from({ length: SWINGS }, (_, k) => ({
  ...SKILLED_BODY,
  topLag_deg: SKILLED_BODY.topLag_deg + 0.001 * k,
}));

function medianMs(work: () => number): number {
  work();
  const rounds = Array.from({ length: ROUNDS }, () => {
    const start = performance.now();
    const done = work();
    return (performance.now() - start) / done;
  });
  return rounds.sort((a, b) => a - b)[ROUNDS >> 1]!;
}

const withSeries = medianMs(() => {
  for (const body of bodies) simulateDownswing(body, SKILLED_TIMINGS);
  return SWINGS;
});
const metricsOnly = medianMs(() => {
  for (const body of bodies) summarisedDownswing(body, SKILLED_TIMINGS);
  return SWINGS;
});
/** 20 golfers of ten swings in one session, everything drawn: golfers, their stance, sessions, swings. */
const cohort = medianMs(() => {
  let swings = 0;
  for (let g = 0; g < 20; g++) {
    const stream = createStream(1, 'golfer', g);
    const golfer = drawGolfer(SIMULATED_GOLFERS, (g % 5) / 4, stream.sub('golfer'));
    const session = drawSession(SIMULATED_GOLFERS, golfer, stream.sub('session'));
    for (let k = 0; k < 10; k++, swings++)
      mechanicalSwing(drawSwing(SIMULATED_GOLFERS, golfer, session, k, stream.sub('swing', k)), 27);
  }
  return swings;
});

const line = (name: string, ms: number, wanted: number): void =>
  console.log(
    `${name.padEnd(52)} ${ms.toFixed(2).padStart(6)} ms a swing  ${(1000 / ms).toFixed(0).padStart(6)} a second  ${(wanted / ms).toFixed(1)} times as fast as wanted`,
  );
line('every millisecond, energy kept to 1e-9', withSeries, WANTED_MS);
line('metrics only', metricsOnly, WANTED_MS);
line('cohort: golfers, sessions and swings drawn', cohort, (1000 * WANTED_COHORT_S) / COHORT_SWINGS);
console.log(`metrics only takes ${(metricsOnly / withSeries).toFixed(2)} of the time with the series`);
