import { mkdtemp, readFile, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { loadDataset, sha256Hex } from '../../src/dataset/index.ts';
import { newFolder, snapshot, type } from './harness.ts';

const ROSTER = fileURLToPath(new URL('../../synthetic/recipes/mechanics-roster.json', import.meta.url));

/** The recipe of a roster by mechanics, made small. */
async function smallRecipe(): Promise<string> {
  const recipe = JSON.parse(await readFile(ROSTER, 'utf8'));
  recipe.name = 'small';
  recipe.roster = { golfers: 2 };
  recipe.session = { ...recipe.session, fullSwings: 2, drillSwings: 1 };
  recipe.design.visits = recipe.design.visits.slice(0, 2);
  const path = join(await mkdtemp(join(tmpdir(), 'recipe-')), 'small.json');
  await writeFile(path, JSON.stringify(recipe));
  return path;
}

// Threads load the package anew, which takes seconds on a busy machine.
describe('generate --captures', { timeout: 180_000 }, () => {
  it('writes a dataset whose captures can be checked and measured, the same bytes again', async () => {
    const recipe = await smallRecipe();
    const out = await newFolder();
    const made = await type('generate', '--recipe', recipe, '--seed', '7', '--out', out, '--captures');
    expect(made.err).toBe('');
    expect(made.exit).toBe(0);
    expect((await type('check', out)).exit).toBe(0);
    const loaded = await loadDataset(out);
    if (!loaded.valid) throw new Error('not valid');
    const { captures, swings } = loaded.value.tables;
    const full = [...swings.text('swing_id').keys()].filter((i) => swings.text('task')[i] === 'full');
    expect(captures.length).toBe(full.length);
    for (let i = 0; i < captures.length; i++) {
      const bytes = await readFile(join(out, captures.text('file')[i]!));
      expect(sha256Hex(bytes)).toBe(captures.text('sha256')[i]);
    }
    const again = await newFolder();
    await type('generate', '--recipe', recipe, '--seed', '7', '--out', again, '--captures');
    expect(Object.values(await snapshot(again))).toEqual(Object.values(await snapshot(out)));

    const measured = await newFolder('measured');
    const layout = join(out, 'captures', 'layout-right.json');
    const report = await type(
      'measure',
      '--captures',
      join(out, 'captures'),
      '--layout',
      layout,
      '--out',
      measured,
    );
    expect(report.out).toContain(`${captures.length} measured, 0 failed`);
    expect((await type('check', measured)).exit).toBe(0);
  });

  it('refuses a recipe whose swings are only numbers, says which to take, and writes nothing', async () => {
    const out = await newFolder();
    const refused = await type(
      'generate',
      '--recipe',
      'drill-no-effect',
      '--seed',
      '7',
      '--out',
      out,
      '--captures',
    );
    expect(refused.exit).toBe(2);
    expect(refused.err).toMatch(/\/movement\/model/);
    expect(refused.err).toMatch(/mechanics-roster/);
    await expect(snapshot(out)).rejects.toThrow(/ENOENT/);
  });
});
