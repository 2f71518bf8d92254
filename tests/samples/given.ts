import { cpSync, readFileSync } from 'node:fs';
import { loadDataset, readColumns } from '../../src/dataset/index.ts';
import { measureCapture, readPoints } from '../../src/kinematics/index.ts';
import { curveFigure } from '../../src/report/index.ts';
import { fitModel } from '../../src/stats/index.ts';
import { drillTrial } from '../../src/studies/index.ts';
import { loadRecipe } from '../../src/synthetic/index.ts';
import { PROJECT } from './documents.ts';
import { READERS_FILES } from './reader.ts';

/**
 * What the examples of docstrings take as given, beside every public function:
 *
 * - `dataset`, `plan`, `recipe`, `finding`: the demo, its plan, its recipe and the answer to its plan;
 * - `measurement`: the simulated swing, measured; `points`: the elbow in notebooks/data;
 * - `fit`: the mean of 1, 2 and 6; `sleep`: the columns of the sleep-deprivation data (Belenky et al. 2003);
 * - `figure`: a curve of two points;
 * - `readFileSync` of Node, and in the working folder the files of a reader, and the demo as `my-roster`.
 */
export async function givenToExamples(): Promise<Readonly<Record<string, unknown>>> {
  cpSync('synthetic/demo', 'my-roster', { recursive: true });
  for (const file of ['plan.json', 'swing.c3d', 'layout.json', 'data.csv', 'swings.parquet', 'model.json'])
    await READERS_FILES[file]!();
  const dataset = await loadDataset('my-roster');
  const recipe = await loadRecipe('drill-parallel-effect');
  if (!dataset.valid || !recipe.valid) throw new Error('the demo or its recipe has faults');
  const plan = JSON.parse(readFileSync('plan.json', 'utf8'));
  const layout = JSON.parse(readFileSync('layout.json', 'utf8'));
  const outcome = drillTrial(dataset.value, { plan });
  const measured = measureCapture({ c3dBytes: readFileSync('swing.c3d'), layout });
  const fitted = fitModel({ outcome: 'y', fixed: ['intercept'] }, { y: [1, 2, 6] });
  const points = readPoints({
    definition: 'isb-elbow',
    csvBytes: readFileSync('notebooks/data/elbow/points.csv'),
    points: {
      shoulder: 'AcromionR',
      lateral_epicondyle: 'LateralEpicondyleR',
      medial_epicondyle: 'MedialEpicondyleR',
      radial_styloid: 'RadialStyloidR',
      ulnar_styloid: 'UlnarStyloidR',
    },
  });
  const study = readFileSync(`${PROJECT}tests/reference/models/sleepstudy.csv`);
  const sleep = readColumns('sleepstudy.csv', study);
  if (!outcome.ok || !measured.ok || !fitted.ok || !points.ok || !sleep.ok)
    throw new Error('what is given to the examples has faults');
  return {
    dataset: dataset.value,
    recipe: recipe.recipe,
    plan,
    finding: outcome.finding,
    measurement: measured.value,
    points: points.value,
    fit: fitted.fit,
    sleep: sleep.columns,
    figure: curveFigure({
      id: 'flexion',
      title: 'The elbow straightens',
      caption: 'Invented.',
      description: 'From 40 to 20 degrees.',
      x: { label: 'time from impact', unit: 'ms', values: [-10, 0] },
      y: { label: 'flexion', unit: 'deg' },
      curves: [{ name: 'G01', y: [40, 20] }],
      table: { columns: [{ key: 'g', label: 'golfer' }], rows: [{ g: 'G01' }] },
    }),
    readFileSync,
  };
}
