/**
 * Do simulated golfers swing as golfers are published to? Draws golfers of both ends of the skill scale, one warm swing each and ten more, and
 * holds peak speeds, downswing time and head speed against the list of literature. Prints tables and writes reports/simulated-golfers.json.
 *
 *   npx tsx tests/bench/calibrate-golfers.ts [golfers of each skill, default 1000]
 */
import { writeFileSync } from 'node:fs';
import { LEVELS, type Population, simulatePopulation } from '../synthetic/bodies/population.ts';

const golfers = Number(process.argv[2] ?? 1000);
const digits = (value: number): number => Number(value.toPrecision(4));

const populations = Object.entries(LEVELS).map(([level, skill]) => {
  const population = simulatePopulation({ golfers, skill, seed: 2026, swings: 10 });
  print(level, population);
  return { level, ...rounded(population) };
});
writeFileSync(
  new URL('../../reports/simulated-golfers.json', import.meta.url),
  `${JSON.stringify({ golfers, swingsEach: 10, populations }, null, 2)}\n`,
);

function rounded({ values, shape, published, ...counts }: Population) {
  return {
    ...counts,
    values: Object.fromEntries(
      Object.entries(values).map(([name, { golfers: of, swings }]) => [
        name,
        { mean: digits(of.mean), sd: digits(of.sd), withinGolferSd: digits(swings) },
      ]),
    ),
    published: published.map((line) => ({ ...line, mean: digits(line.mean), sd: digits(line.sd) })),
    shape,
  };
}

function print(level: string, { redraws, faults, values, shape, published }: Population): void {
  console.log(
    `\n${level}: ${golfers} golfers; drawn again ${JSON.stringify(redraws)}; swings that were none ${JSON.stringify(faults)}`,
  );
  for (const [name, { golfers: of, swings }] of Object.entries(values))
    console.log(
      `${name.padEnd(40)} ${of.mean.toFixed(1).padStart(8)} SD ${of.sd.toFixed(1).padStart(7)}   swing to swing ${swings.toFixed(2).padStart(7)}`,
    );
  for (const { name, publishedMean, publishedSd, mean, sd, within2Sd } of published)
    console.log(
      `${name.padEnd(40)} published ${publishedMean} (${publishedSd}): ${mean.toFixed(0)} (${sd.toFixed(0)}), ${(100 * within2Sd).toFixed(1)} % within 2 SD`,
    );
  for (const [fact, share] of Object.entries(shape))
    console.log(`${fact.padEnd(60)} ${(100 * share).toFixed(1)} %`);
}
