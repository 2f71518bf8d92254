import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { loadDataset } from '../../src/dataset/index.ts';
import { runNotebook } from '../../src/notebook/index.ts';
import { formatNumber, formatQuantity } from '../../src/report/index.ts';
import { oneGolfer } from '../../src/studies/index.ts';
import { generateCohort, loadRecipe, writeCohort } from '../../src/synthetic/index.ts';
import { codeCells, formatErrors, outputText, testFolder } from './run-here.ts';

const folder = testFolder();
const NOTEBOOK = fileURLToPath(new URL('../../notebooks/one-golfer.ts', import.meta.url));
const DEMO = fileURLToPath(new URL('../../synthetic/demo', import.meta.url));
const LONG_MS = 180_000;

async function runOn(dataDir: string, name: string) {
  const outDir = join(folder, name);
  const result = await runNotebook({ path: NOTEBOOK, dataDir, outDir, seed: 3 });
  const ipynb = readFileSync(join(outDir, 'one-golfer.ipynb'), 'utf8');
  return { result, ipynb, cells: codeCells(JSON.parse(ipynb)) };
}

describe('the one-golfer notebook', () => {
  it(
    'shows the very Finding of the study, and by hand the same difference, ways and p',
    async () => {
      const recipe = await loadRecipe('single-golfer-abab');
      if (!recipe.valid) throw new Error('no recipe');
      const data = join(folder, 'abab');
      await writeCohort(data, recipe.recipe, generateCohort(recipe.recipe, 5));
      const { result, ipynb, cells } = await runOn(data, 'abab-out');
      expect(result).toMatchObject({ ok: true, problems: [], failedCell: null });
      expect(formatErrors(JSON.parse(ipynb))).toEqual([]);

      const loaded = await loadDataset(data);
      if (!loaded.valid) throw new Error('the cohort does not load');
      const outcome = oneGolfer(loaded.value, { golfers: ['G01'], seed: 3, metric: 'shaft_lean_impact_deg' });
      if (!outcome.ok) throw new Error('no answer');
      const { finding } = outcome;
      const outputs = cells.flatMap((cell) => cell.outputs) as { data?: Record<string, unknown> }[];
      expect(
        outputs.flatMap((one) => one.data?.['application/vnd.proving-range.finding.v1+json'] ?? []),
      ).toEqual([JSON.parse(JSON.stringify(finding))]);

      const text = outputs.map((one) => String(one.data?.['text/plain'] ?? '')).join('\n');
      const table = finding.tables.randomisation!;
      expect(text).toContain(`By hand, B less A is **${formatQuantity(table.difference, 'deg', 2)}**`);
      expect(text).toContain(`Of ${table.ways} cuts `);
      expect(text).toContain(`**p = ${formatNumber(table.p, 4)}**`);
    },
    LONG_MS,
  );

  it(
    'runs to its end on a roster with too few sessions of anybody',
    async () => {
      const { result, cells } = await runOn(DEMO, 'demo-out');
      expect(result.failedCell).toBeNull();
      expect(outputText(cells.at(-1))).toContain('What would change it');
    },
    LONG_MS,
  );
});
