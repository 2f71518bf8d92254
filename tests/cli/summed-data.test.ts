/** From how many packed swings on they are summed where they are. */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { dataOfQuestion } from '../../src/cli/summed-data.ts';
import { packDataset } from '../../src/dataset/index.ts';
import { type Study, studies } from '../../src/studies/index.ts';

const DEMO = fileURLToPath(new URL('../../synthetic/demo', import.meta.url));
const METRIC = 'shaft_lean_impact_deg';
let scratch = '';
let swings = 0;
beforeAll(async () => {
  scratch = await mkdtemp(join(tmpdir(), 'summed-data-'));
  const packed = await packDataset(DEMO, join(scratch, 'packed'));
  if (!packed.valid) throw new Error('not packed');
}, 30_000);
afterAll(() => rm(scratch, { recursive: true, force: true }));

const asked = async (folder: string, study: keyof typeof studies, many: number) => {
  const data = await dataOfQuestion(folder, studies[study] as Study, METRIC, undefined, many);
  if (!data.valid) throw new Error(JSON.stringify(data.problems));
  return data.value;
};

it('sums as many swings as that, and reads one fewer', async () => {
  const folder = join(scratch, 'packed');
  swings = (await asked(folder, 'drill-trial', Number.POSITIVE_INFINITY)).dataset.tables.swings.length;
  expect((await asked(folder, 'drill-trial', swings + 1)).swingSums).toBeUndefined();
  const summed = await asked(folder, 'drill-trial', swings);
  expect(summed.swingSums?.rows).toBe(swings);
  expect(summed.dataset.tables.swings.length).toBe(0);
}, 30_000);

it('reads what is not packed, and what a study of single swings needs, however many they are', async () => {
  expect((await asked(DEMO, 'drill-trial', 1)).swingSums).toBeUndefined();
  expect((await asked(join(scratch, 'packed'), 'noise', 1)).swingSums).toBeUndefined();
}, 30_000);
