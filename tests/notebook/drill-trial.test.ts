import { cpSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { loadDataset, loadPlan } from '../../src/dataset/index.ts';
import { formatPercent, parsePercent, runNotebook } from '../../src/notebook/index.ts';
import { drillTrial } from '../../src/studies/index.ts';
import { generateCohort, loadRecipe, writeCohort } from '../../src/synthetic/index.ts';
import { codeCells, formatErrors, outputText, testFolder } from './run-here.ts';

const folder = testFolder();
const NOTEBOOKS = new URL('../../notebooks/', import.meta.url);
const NOTEBOOK = fileURLToPath(new URL('drill-trial.ts', NOTEBOOKS));
const DEMO = fileURLToPath(new URL('../../synthetic/demo', import.meta.url));
const LONG_MS = 180_000;

async function runOn(dataDir: string, name: string) {
  const outDir = join(folder, name);
  const result = await runNotebook({ path: NOTEBOOK, dataDir, outDir, seed: 3 });
  const ipynb = readFileSync(join(outDir, 'drill-trial.ipynb'), 'utf8');
  const html = readFileSync(join(outDir, 'drill-trial.html'), 'utf8');
  return { result, ipynb, html, cells: codeCells(JSON.parse(ipynb)) };
}

describe('every notebook of the project', () => {
  it.each(readdirSync(NOTEBOOKS).filter((name) => name.endsWith('.ts')))(
    '%s is in canonical form',
    (name) => {
      const text = readFileSync(new URL(name, NOTEBOOKS), 'utf8');
      const reading = parsePercent(text);
      expect(reading.problems).toEqual([]);
      expect(formatPercent(reading)).toBe(text);
      expect(reading.cells[0]).toMatchObject({ kind: 'markdown' });
      for (const word of ['The question', 'The data', 'The plan'])
        expect(reading.cells[0]?.source).toContain(word);
      expect(text).toContain('what would change it');
    },
  );
});

describe('the drill-trial notebook', () => {
  it(
    'on the demo: shows the very Finding of the study, byte for byte the same each time',
    async () => {
      const once = await runOn(DEMO, 'demo-1');
      expect(once.result).toMatchObject({ ok: true, problems: [], failedCell: null });
      const again = await runOn(DEMO, 'demo-2');
      expect(again.ipynb).toBe(once.ipynb);
      expect(again.html).toBe(once.html);

      expect(formatErrors(JSON.parse(once.ipynb))).toEqual([]);

      const loaded = await loadDataset(DEMO);
      const planned = await loadPlan(join(DEMO, 'plan.json'));
      if (!loaded.valid || !planned.valid) throw new Error('the demo does not load');
      const { plan, sha256 } = planned;
      const outcome = drillTrial(loaded.value, {
        metric: plan.metric.column,
        plan,
        planFile: { file: 'plan.json', sha256: sha256 ?? '' },
        seed: 3,
      });
      if (!outcome.ok) throw new Error('the demo has no answer');
      const outputs = once.cells.flatMap((cell) => cell.outputs) as { data?: Record<string, unknown> }[];
      const shown = outputs.flatMap(
        ({ data }) => data?.['application/vnd.proving-range.finding.v1+json'] ?? [],
      );
      expect(shown).toEqual([JSON.parse(JSON.stringify(outcome.finding))]);
      expect(once.html).toContain('data-verdict');

      // By hand in the notebook, against the study's own comparison of change scores: two paths to one number.
      const byHand = outputs
        .map(({ data }) => String(data?.['text/plain']))
        .find((text) => text.includes('by hand:'));
      const changeScores = outcome.finding.sensitivity.find(({ name }) => name === 'change scores');
      const difference = Number(/by hand: \D+(-?[\d.]+)/.exec(byHand ?? '')?.[1]);
      expect(difference).toBeCloseTo(changeScores?.estimate?.value ?? Number.NaN, 5);
    },
    LONG_MS,
  );

  it.each(['drill-before-after', 'drill-crossover', 'drill-stepped-start'])(
    'runs to its end on a cohort of another design: %s',
    async (name) => {
      const recipe = await loadRecipe(name);
      if (!recipe.valid) throw new Error(name);
      const data = join(folder, name);
      await writeCohort(data, recipe.recipe, generateCohort(recipe.recipe, 5));
      const { result, cells } = await runOn(data, `${name}-out`);
      expect(result.failedCell).toBeNull();
      expect(outputText(cells.at(-1))).toContain('What would change it');
    },
    LONG_MS,
  );

  it(
    'stops with the faults of a folder in words, and no line of ours',
    async () => {
      const data = join(folder, 'faulty');
      mkdirSync(data);
      cpSync(DEMO, data, { recursive: true });
      const swings = readFileSync(join(data, 'swings.csv'), 'utf8').split('\n');
      swings[3] = swings[3]!.replace(/^[^,]*/, swings[2]!.split(',')[0]!);
      writeFileSync(join(data, 'swings.csv'), swings.join('\n'));
      const { result, cells, html, ipynb } = await runOn(data, 'faulty-out');
      expect(result.failedCell?.message).toContain('mend them and run the notebook again');
      expect(outputText(cells[0])).toContain('swings');
      expect(html + ipynb).not.toMatch(/src\/|node_modules|node:internal/);
    },
    LONG_MS,
  );
});
