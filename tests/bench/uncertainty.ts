/**
 * Do the stated standard deviations tell the truth? First-order propagation against Monte Carlo, metric by metric:
 * one planted swing recorded many times with new noise. Prints tables and writes reports/uncertainty-metrics.json.
 *
 *   npx tsx tests/bench/uncertainty.ts [swings for each case, default 1000]
 */
import { writeFileSync } from 'node:fs';
import type { Layout } from '../../src/kinematics/index.ts';
import { coverage, recoverPlanted, rms } from '../kinematics/noisy-swings.ts';

const swings = Number(process.argv[2] ?? 1000);

interface Case {
  readonly name: string;
  readonly noise_mm: number;
  readonly layout: Partial<Layout>;
}

const CASES: readonly Case[] = [
  ...[0.3, 1, 2].map((noise_mm) => ({
    name: `noise of ${noise_mm} mm, given`,
    noise_mm,
    layout: { markerNoise_mm: noise_mm },
  })),
  { name: 'noise of 1 mm, estimated from the capture', noise_mm: 1, layout: {} },
  {
    name: 'noise of 1 mm, derivatives from a spline',
    noise_mm: 1,
    layout: { markerNoise_mm: 1, processing: { derivatives: 'spline' } },
  },
  {
    name: 'noise of 1 mm, cut-offs by residual analysis',
    noise_mm: 1,
    layout: { markerNoise_mm: 1, processing: { cutoff: 'by residual analysis' } },
  },
];

const digits = (value: number): number => Number(value.toPrecision(4));

const results = CASES.map(({ name, noise_mm, layout }) => {
  const recovered = recoverPlanted({ swings, noise_m: noise_mm / 1000, layout });
  console.log(`\n${name}, ${swings} swings at 240 Hz`);
  console.log(
    `${'metric'.padEnd(40)} ${'bias'.padStart(9)} ${'spread'.padStart(9)} ${'stated'.padStart(9)} ${'ratio'.padStart(6)} ${'covered'.padStart(8)}`,
  );
  const metrics = [...recovered].map(([column, errorsAndStated]) => {
    const { errors, stated } = errorsAndStated;
    const bias = errors.reduce((sum, e) => sum + e, 0) / errors.length;
    const spread = rms(errors.map((e) => e - bias));
    const row = {
      column,
      bias: digits(bias),
      monteCarloSd: digits(spread),
      statedSd: digits(rms(stated)),
      ratio: digits(rms(stated) / spread),
      coverage: digits(coverage(errorsAndStated)),
    };
    console.log(
      `${column.padEnd(40)} ${row.bias.toPrecision(3).padStart(9)} ${row.monteCarloSd.toPrecision(3).padStart(9)} ${row.statedSd.toPrecision(3).padStart(9)} ${row.ratio.toFixed(2).padStart(6)} ${`${(100 * row.coverage).toFixed(1)} %`.padStart(8)}`,
    );
    return row;
  });
  return { case: name, noise_mm, swings, rateHz: 240, metrics };
});

writeFileSync(
  new URL('../../reports/uncertainty-metrics.json', import.meta.url),
  `${JSON.stringify({ coverageError: digits(Math.sqrt((0.95 * 0.05) / swings)), cases: results }, null, 2)}\n`,
);
