import { cpSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { budgetOf, compareElbows, readPoints, stepsOf } from '../../src/kinematics/index.ts';
import { runNotebook } from '../../src/notebook/index.ts';
import { codeCells, formatErrors, outputText, testFolder } from './run-here.ts';

const folder = testFolder();
const NOTEBOOK = fileURLToPath(new URL('../../notebooks/angle.ts', import.meta.url));
const DATA = fileURLToPath(new URL('../../notebooks/data/elbow', import.meta.url));
const LONG_MS = 120_000;

async function runOn(dataDir: string, name: string) {
  const outDir = join(folder, name);
  const result = await runNotebook({ path: NOTEBOOK, dataDir, outDir });
  const ipynb = readFileSync(join(outDir, 'angle.ipynb'), 'utf8');
  const html = readFileSync(join(outDir, 'angle.html'), 'utf8');
  return { result, ipynb, html, text: codeCells(JSON.parse(ipynb)).map(outputText).join('\n') };
}

describe('the angle notebook', () => {
  it(
    'on its own data: reproduces the published angle, and shows the numbers of the library',
    async () => {
      const { result, ipynb, html, text } = await runOn(DATA, 'elbow');
      expect(result).toMatchObject({ ok: true, problems: [], failedCell: null });
      expect(formatErrors(JSON.parse(ipynb))).toEqual([]);
      expect(text).toContain('reproduced to every digit that was printed');
      // Angles and matrix as published, to the digits that are shown.
      for (const digits of ['16.29122882', '−0.50721766', '158.55909435']) expect(text).toContain(digits);

      const asked = JSON.parse(readFileSync(join(DATA, 'points.json'), 'utf8'));
      const read = readPoints({
        definition: 'isb-elbow',
        csvBytes: readFileSync(join(DATA, 'points.csv')),
        points: asked.points,
      });
      if (!read.ok) throw new Error(JSON.stringify(read.problems));
      const [steps, compared, budget] = [
        stepsOf(read.value, asked.row),
        compareElbows(read.value),
        budgetOf(read.value, asked.row, asked.markerNoise_mm),
      ];
      if (!steps.ok || !compared.ok || !budget.ok) throw new Error('the data give no angle');
      const minus = (value: number, digits: number) => value.toFixed(digits).replace('-', '−');
      for (const { value, unit } of steps.value.steps) {
        if (unit === 'deg') expect(html).toContain(minus(value as number, 4));
        else
          for (const number of (value as readonly unknown[]).flat())
            expect(html).toContain(minus(number as number, 6));
      }
      for (const { why, mean_deg } of compared.value.definitions) {
        expect(html).toContain(why);
        expect(html).toContain(`data-value="${mean_deg}"`);
      }
      for (const { sd_deg } of budget.value.angles) expect(text).toContain(`(SD ${sd_deg.toFixed(2)}°)`);
    },
    LONG_MS,
  );

  it(
    'without anything published runs to its end and says so; with a faulty table it stops in words',
    async () => {
      const own = join(folder, 'own');
      cpSync(DATA, own, { recursive: true });
      rmSync(join(own, 'published.json'));
      const unpublished = await runOn(own, 'own-out');
      expect(unpublished.result.ok).toBe(true);
      expect(unpublished.text).toContain('Nothing was published to reproduce');

      const asked = JSON.parse(readFileSync(join(own, 'points.json'), 'utf8'));
      asked.points.shoulder = 'AcromionL';
      writeFileSync(join(own, 'points.json'), JSON.stringify(asked));
      const faulty = await runOn(own, 'faulty-out');
      expect(faulty.result.failedCell?.message).toContain('mend them and run the notebook again');
      expect(faulty.text).toContain('AcromionR');
      expect(faulty.html + faulty.ipynb).not.toMatch(/src\/|node_modules|node:internal/);
    },
    LONG_MS,
  );
});
