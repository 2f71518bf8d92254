import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { runNotebook } from '../../src/notebook/index.ts';
import { generateCohort, loadRecipe, writeCohort } from '../../src/synthetic/index.ts';
import { codeCells, formatErrors, outputText, testFolder } from './run-here.ts';

const folder = testFolder();
const NOTEBOOK = fileURLToPath(new URL('../../notebooks/noise.ts', import.meta.url));
const DEMO = fileURLToPath(new URL('../../synthetic/demo', import.meta.url));
const LONG_MS = 120_000;

async function runOn(dataDir: string, name: string) {
  const outDir = join(folder, name);
  const result = await runNotebook({ path: NOTEBOOK, dataDir, outDir });
  const ipynb = JSON.parse(readFileSync(join(outDir, 'noise.ipynb'), 'utf8'));
  return { result, ipynb, text: codeCells(ipynb).map(outputText).join('\n') };
}

describe('the noise notebook', () => {
  it(
    'on golfers measured again and again: by hand and by the study agree, two devices are compared',
    async () => {
      const recipe = await loadRecipe('noise-two-devices');
      if (!recipe.valid) throw new Error('noise-two-devices');
      const data = join(folder, 'two-devices');
      await writeCohort(data, recipe.recipe, generateCohort(recipe.recipe, 5));
      const { result, ipynb, text } = await runOn(data, 'two-devices-out');
      expect(result).toMatchObject({ ok: true, problems: [], failedCell: null });
      expect(formatErrors(ipynb)).toEqual([]);
      expect(text).toContain('What would change it');
      const shown = codeCells(ipynb)
        .flatMap(({ outputs }) => outputs as { data?: Record<string, unknown> }[])
        .flatMap(({ data: own }) => own?.['application/vnd.proving-range.finding.v1+json'] ?? []) as {
        estimates: { key: string; value: number; interval: [number, number] }[];
        tables: { agreement: { meanInterval: [number, number]; first: string } };
      }[];
      const { estimates, tables } = shown[0]!;
      const swing = estimates.find(({ key }) => key === 'sd-swing')!.value;
      // By hand in the notebook, two paths to one number.
      expect(text).toMatch(new RegExp(`SD between swings +${swing.toFixed(5)} +${swing.toFixed(5)}`));
      // The recipe plants a bias of 1.2 deg on the second device.
      const [low, high] = tables.agreement.meanInterval;
      const bias = tables.agreement.first === 'markers' ? -1.2 : 1.2;
      expect(low).toBeLessThan(bias);
      expect(high).toBeGreaterThan(bias);
    },
    LONG_MS,
  );

  it(
    'on the demo, whose golfers have one session in each phase, runs to its end',
    async () => {
      const { result, text } = await runOn(DEMO, 'demo-out');
      expect(result.failedCell).toBeNull();
      expect(text).toContain('Repeats with nothing taught in between, which this folder does not have');
    },
    LONG_MS,
  );
});
