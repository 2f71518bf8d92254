/**
 * Does the drill trial tell the truth? Draws cohorts of known truth from every recipe and counts how often the 95%
 * interval holds the planted effect, how often each verdict is given, and the bias, with Monte Carlo errors.
 *
 *   npx tsx tests/bench/calibrate-drill-trial.ts [cohorts per recipe, default 200] [first seed, default 1]
 *
 * Prints a table and writes reports/calibration-drill-trial.json.
 */
import { writeFileSync } from 'node:fs';
import { datasetFromRows } from '../../src/dataset/index.ts';
import { metricByColumn } from '../../src/kinematics/index.ts';
import { ask } from '../../src/studies/drill-trial/analysis/ask.ts';
import { recogniseDesign } from '../../src/studies/drill-trial/input/design.ts';
import { extractTrial } from '../../src/studies/drill-trial/input/extract.ts';
import { placeRows } from '../../src/studies/drill-trial/input/rows.ts';
import { generateCohort, loadRecipe, recipeNames } from '../../src/synthetic/index.ts';

const cohorts = Number(process.argv[2] ?? 200);
const firstSeed = Number(process.argv[3] ?? 1);
const COLUMNS = ['shaft_lean_impact_deg', 'lag_delivery_deg'] as const;

interface Count {
  recipe: string;
  metric: string;
  cohorts: number;
  refused: number;
  planted: number;
  meanEstimate: number;
  biasError: number;
  covered: number;
  coverageError: number;
  retentionCovered: number | null;
  verdicts: Record<string, number>;
}

const table: Count[] = [];
for (const name of await recipeNames()) {
  if (name === 'base') continue;
  const loaded = await loadRecipe(name);
  if (!loaded.valid) throw new Error(`recipe ${name} cannot be read`);
  const runs = Array.from({ length: cohorts }, (_, i) => generateCohort(loaded.recipe, firstSeed + i));
  for (const column of COLUMNS) table.push(countOf(name, column, runs));
}

function countOf(recipe: string, column: string, runs: readonly ReturnType<typeof generateCohort>[]): Count {
  const estimates: number[] = [];
  const verdicts: Record<string, number> = {};
  let covered = 0;
  let retained = 0;
  let retentions = 0;
  let planted = 0;
  for (const { tables, truth } of runs) {
    planted = truth.drillEffect[column]!;
    const checked = datasetFromRows(tables);
    // A drawn value may trip a check, such as an exact 0 that reads like a blank: no answer is given then.
    if (!checked.valid) continue;
    const extracted = extractTrial(checked.value, column, null);
    if (!extracted.ok) continue;
    const { data } = extracted;
    const recognised = recogniseDesign(data.assignments, data.sessions, {});
    if (!recognised.ok) continue;
    const answers = ask(data, recognised.design, placeRows(data, recognised.design).rows, null);
    const { value, interval } = answers.effect;
    verdicts[answers.verdict] = (verdicts[answers.verdict] ?? 0) + 1;
    if (value === null || interval === null) continue;
    estimates.push(value);
    if (interval[0] <= planted && planted <= interval[1]) covered += 1;
    const { retention } = answers.more;
    const kept = typeof retention === 'string' ? null : [...retention.byArm.values()][0]!.effect.interval;
    if (kept !== null) {
      retentions += 1;
      const truthKept = truth.retentionEffect[column]!;
      if (kept[0] <= truthKept && truthKept <= kept[1]) retained += 1;
    }
  }
  const n = estimates.length;
  const mean = estimates.reduce((sum, value) => sum + value, 0) / n;
  const spread = Math.sqrt(estimates.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (n - 1));
  const share = covered / n;
  return {
    recipe,
    metric: column,
    cohorts: runs.length,
    refused: runs.length - n,
    planted,
    meanEstimate: mean,
    biasError: spread / Math.sqrt(n),
    covered: share,
    coverageError: Math.sqrt((share * (1 - share)) / n),
    retentionCovered: retentions === 0 ? null : retained / retentions,
    verdicts,
  };
}

for (const row of table) print(row);

function print(row: Count): void {
  const unit = metricByColumn(row.metric).unit;
  const verdicts = Object.entries(row.verdicts)
    .sort()
    .map(([verdict, times]) => `${verdict} ${times}`)
    .join(', ');
  const retention =
    row.retentionCovered === null ? '' : `; retention covered ${(100 * row.retentionCovered).toFixed(1)}%`;
  console.log(
    `${row.recipe} | ${row.metric} | planted ${row.planted} ${unit}, mean ${row.meanEstimate.toFixed(3)} (error ${row.biasError.toFixed(3)}) | covered ${(100 * row.covered).toFixed(1)}% (error ${(100 * row.coverageError).toFixed(1)})${retention} | ${verdicts} | no answer ${row.refused}`,
  );
}
writeFileSync(
  new URL('../../reports/calibration-drill-trial.json', import.meta.url),
  `${JSON.stringify({ cohorts, firstSeed, table }, null, 2)}\n`,
);
