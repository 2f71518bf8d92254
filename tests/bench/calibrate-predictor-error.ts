/**
 * Does correcting for a predictor's known measurement error tell the truth? Draws cohorts of known slopes, fits them
 * with and without the correction, and counts bias and how often the 95 % interval holds the truth, with Monte Carlo
 * errors.
 *
 *   npx tsx tests/bench/calibrate-predictor-error.ts [cohorts, default 200] [first seed, default 1]
 *
 * Prints the table and writes reports/calibration-predictor-error.json.
 */
import { writeFileSync } from 'node:fs';
import { createStream } from '../../src/numerics/index.ts';
import { fitModel } from '../../src/stats/index.ts';
import { cohort, splitModel, TRUTH } from '../stats/models/predictor-error/cohorts.ts';

const cohorts = Number(process.argv[2] ?? 200);
const firstSeed = Number(process.argv[3] ?? 1);
const groups = 24;
const size = 6;

const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
const errorOf = (values: readonly number[]) => {
  const middle = mean(values);
  return Math.sqrt(
    values.reduce((sum, value) => sum + (value - middle) ** 2, 0) / (values.length - 1) / values.length,
  );
};

const terms = [
  { term: 'z', index: 1, truth: TRUTH.z },
  { term: 'x within g', index: 2, truth: TRUTH.within },
  { term: 'x between g', index: 3, truth: TRUTH.between },
].map((term) => ({
  ...term,
  corrected: [] as number[],
  ignored: [] as number[],
  covered: 0,
  coveredIgnored: 0,
}));
let failed = 0;
for (let c = 0; c < cohorts; c++) {
  const data = cohort(createStream(firstSeed).sub(c), groups, size);
  const corrected = fitModel({ ...splitModel, errorSd: { x: 'e' } }, { ...data });
  const ignored = fitModel(splitModel, { ...data });
  if (!corrected.ok || !ignored.ok || !corrected.fit.result.diagnosis.converged) {
    failed++;
    continue;
  }
  for (const term of terms) {
    const right = corrected.fit.result.fixed[term.index]!;
    const naive = ignored.fit.result.fixed[term.index]!;
    term.corrected.push(right.estimate);
    term.ignored.push(naive.estimate);
    const holds = ([low, high]: readonly [number, number]) => low <= term.truth && term.truth <= high;
    if (holds(right.interval)) term.covered++;
    if (holds(naive.interval)) term.coveredIgnored++;
  }
}
const table = terms.map(({ term, truth, corrected, ignored, covered, coveredIgnored }) => ({
  term,
  truth,
  bias: mean(corrected) - truth,
  biasError: errorOf(corrected),
  coverage: covered / corrected.length,
  coverageError: Math.sqrt(
    ((covered / corrected.length) * (1 - covered / corrected.length)) / corrected.length,
  ),
  biasIgnoringTheError: mean(ignored) - truth,
  coverageIgnoringTheError: coveredIgnored / ignored.length,
}));
console.table(table);
writeFileSync(
  new URL('../../reports/calibration-predictor-error.json', import.meta.url),
  `${JSON.stringify({ cohorts, firstSeed, groups, size, failed, table }, null, 2)}\n`,
);
