/** A drill trial of swings that were summed by the SQL engine is that of the swings themselves, to 8 digits. */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  datasetFromRows,
  loadDataset,
  loadSummed,
  type Plan,
  packDataset,
  packedSwings,
  writeDataset,
} from '../../src/dataset/index.ts';
import { drillTrial, type Finding } from '../../src/studies/index.ts';
import { generateCohort, loadRecipe } from '../../src/synthetic/index.ts';

const METRIC = 'shaft_lean_impact_deg';
const DEMO = fileURLToPath(new URL('../../synthetic/demo', import.meta.url));
let scratch = '';
beforeAll(async () => {
  scratch = await mkdtemp(join(tmpdir(), 'summed-'));
});
afterAll(() => rm(scratch, { recursive: true, force: true }));

async function packed(name: string, from: string): Promise<string> {
  const folder = join(scratch, `${name}-packed`);
  const outcome = await packDataset(from, folder);
  if (!outcome.valid) throw new Error(JSON.stringify(outcome.problems));
  return folder;
}

async function cohort(name: string): Promise<string> {
  const recipe = await loadRecipe(name);
  if (!recipe.valid) throw new Error('no recipe');
  const dataset = datasetFromRows(generateCohort(recipe.recipe, 11).tables);
  if (!dataset.valid) throw new Error('no dataset');
  const folder = join(scratch, name);
  await writeDataset(folder, dataset.value);
  return packed(name, folder);
}

async function bothWays(folder: string): Promise<{ rows: Finding; sums: Finding }> {
  const [rows, summed] = [await loadDataset(folder), await loadSummed(folder, METRIC)];
  if (!rows.valid || !summed.valid) throw new Error('not loaded');
  const one = drillTrial(rows.value, { metric: METRIC });
  const other = drillTrial(summed.value.dataset, { metric: METRIC, swingSums: summed.value.sums });
  if (!one.ok || !other.ok) throw new Error(JSON.stringify([one, other]));
  return { rows: one.finding, sums: other.finding };
}

/** What sums do not tell is taken out of both: ids of swings left out, swings far from the rest, and the words that say so. */
function comparable(finding: Finding): unknown {
  return {
    ...finding,
    warnings: finding.warnings.filter((words) => !words.includes('were summed by session')),
    checks: finding.checks.filter(({ name }) => name !== 'swings far from the rest'),
    sensitivity: finding.sensitivity.filter(({ name }) => name !== 'without far swings'),
    leftOut: finding.leftOut.map(({ table, count }) => `${table} ${count}`).sort(),
  };
}

function expectClose(a: unknown, b: unknown, at: string): void {
  if (typeof a === 'number' && typeof b === 'number')
    expect(Math.abs(a - b), `${at}: ${a} for ${b}`).toBeLessThan(1e-8 * Math.max(1, Math.abs(b)));
  else if (typeof a === 'object' && a !== null && typeof b === 'object' && b !== null) {
    expect(Object.keys(a), at).toEqual(Object.keys(b));
    for (const [key, value] of Object.entries(a))
      expectClose(value, (b as Record<string, unknown>)[key], `${at}/${key}`);
  } else expect(a, at).toEqual(b);
}

describe('a drill trial from sums', () => {
  it.each([
    ['demo', () => packed('demo', DEMO)],
    ['a crossover', () => cohort('drill-crossover')],
    ['a stepped start', () => cohort('drill-stepped-start')],
  ] as const)(
    'is the one from swings: %s',
    async (_, make) => {
      const { rows, sums } = await bothWays(await make());
      expectClose(comparable(sums), comparable(rows), '');
      expect(sums.checks.find(({ name }) => name === 'swings far from the rest')?.words).toContain('summed');
    },
    60_000,
  );

  it('counts swings without reading them, and has no part of a folder that is not packed', async () => {
    const folder = await packed('counted', DEMO);
    const rows = await loadDataset(folder);
    expect(await packedSwings(folder)).toBe(rows.valid ? rows.value.tables.swings.length : 0);
    expect(await packedSwings(DEMO)).toBeNull();
    expect((await loadSummed(DEMO, METRIC)).valid).toBe(false);
  });

  it('says which column is not there', async () => {
    const summed = await loadSummed(await packed('absent', DEMO), 'no_such_deg');
    expect(summed.valid).toBe(false);
    expect(summed.problems[0]?.found).toContain('no column no_such_deg');
  });

  it('refuses a plan that needs each swing', async () => {
    const summed = await loadSummed(await packed('planned', DEMO), METRIC);
    if (!summed.valid) throw new Error('not loaded');
    const plan = {
      metric: { column: METRIC },
      exclusions: [{ table: 'swings', id: 'G01-S1-01', reason: 'a bird' }],
    } as unknown as Plan;
    const { dataset, sums } = summed.value;
    const outcome = drillTrial(dataset, { plan, swingSums: sums });
    expect(outcome.ok ? [] : outcome.problems.map(({ where }) => where)).toEqual(['the plan, /exclusions']);
  });
});
