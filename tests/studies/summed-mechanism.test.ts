/** A mechanism of swings that were summed by the SQL engine is that of the swings themselves, to 8 digits. */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import {
  datasetFromRows,
  loadDataset,
  loadSummedCells,
  type Plan,
  packDataset,
  type RowsInput,
  writeDataset,
} from '../../src/dataset/index.ts';
import { type Finding, mechanism, mechanismStudy, type StudyOptions } from '../../src/studies/index.ts';
import { plantedRows } from './mechanism/cohort.ts';

// What takes long and is not compared: the joint model is of rows alone, and the same draws are made both ways, so that fewer
// of them hold the two together as well.
vi.mock('../../src/studies/mechanism/analysis/joint-correction.ts', () => ({ jointCorrection: () => null }));
vi.mock('../../src/studies/mechanism/analysis/draws.ts', () => ({ DRAWS: 4999, drawsFor: () => 199 }));

const DEMO = fileURLToPath(new URL('../../synthetic/demo', import.meta.url));
let scratch = '';
beforeAll(async () => {
  scratch = await mkdtemp(join(tmpdir(), 'summed-mechanism-'));
});
afterAll(() => rm(scratch, { recursive: true, force: true }));

async function packed(name: string, from: string): Promise<string> {
  const folder = join(scratch, `${name}-packed`);
  const outcome = await packDataset(from, folder);
  if (!outcome.valid) throw new Error(JSON.stringify(outcome.problems));
  return folder;
}

async function packedRows(name: string, rows: RowsInput): Promise<string> {
  const dataset = datasetFromRows(rows);
  if (!dataset.valid) throw new Error(JSON.stringify(dataset.problems.slice(0, 3)));
  const folder = join(scratch, name);
  await writeDataset(folder, dataset.value);
  return packed(name, folder);
}

async function fromSums(folder: string, options: StudyOptions = {}) {
  const { levelsOf, wanted } = mechanismStudy.cells!;
  const summed = await loadSummedCells(folder, levelsOf, (facts) => wanted(facts, options));
  if (!summed.valid) throw new Error(JSON.stringify(summed.problems));
  return mechanism(summed.value.dataset, { ...options, swingCells: summed.value.sums });
}

async function bothWays(folder: string, options: StudyOptions = {}) {
  const rows = await loadDataset(folder);
  if (!rows.valid) throw new Error('not loaded');
  const [one, other] = [mechanism(rows.value, options), await fromSums(folder, options)];
  if (!one.ok || !other.ok) throw new Error(JSON.stringify([one, other]));
  return { rows: one.finding, sums: other.finding };
}

const RATED = /strike_rating|ground_first/;
/** What needs each swing: said in both as `not-possible`, or taken out of the one that has it. */
const NEEDS_SWINGS = [
  'the arrow points the other way',
  'more is not always better',
  'without swings that lie more than 3.5 robust SDs from the golfer’s own middle',
  'measurement error by a joint model',
];

/** What sums do not tell is taken out of both: ids, ratings and yes/no strikes, curves, neighbours, far swings. */
function comparable(finding: Finding): unknown {
  const { model, tables, checks, estimates, sensitivity, leftOut, cautions, ...rest } = finding;
  const {
    paths,
    ways,
    curves: _,
    ...others
  } = tables as {
    paths: { to: string }[];
    ways: { name: string }[];
    curves: unknown;
  };
  return {
    ...rest,
    modelWords: model.words,
    checks: checks.filter(({ name }) => !NEEDS_SWINGS.includes(name) && !name.startsWith('the strike: ')),
    estimates: estimates.filter(({ key }) => !RATED.test(key ?? '') && !key?.startsWith('turning-point')),
    sensitivity: sensitivity.filter(({ name }) => !NEEDS_SWINGS.includes(name)),
    leftOut: leftOut
      .map(({ table, count, why }) => `${table} ${count} ${why.replace(/ \(not listed.*/, '')}`)
      .sort(),
    cautions: cautions.filter((words) => !/^Odds ratios|were summed by session/.test(words)),
    tables: {
      ...others,
      paths: paths.filter(({ to }) => !RATED.test(to)),
      ways: ways.filter(({ name }) => !NEEDS_SWINGS.includes(name)),
    },
  };
}

let numbers = 0;
function expectClose(a: unknown, b: unknown, at: string): void {
  if (typeof a === 'number' && typeof b === 'number') {
    numbers += 1;
    expect(Math.abs(a - b), `${at}: ${a} for ${b}`).toBeLessThan(1e-8 * Math.max(1, Math.abs(b)));
  } else if (typeof a === 'object' && a !== null && typeof b === 'object' && b !== null) {
    expect(Object.keys(a), at).toEqual(Object.keys(b));
    for (const [key, value] of Object.entries(a))
      expectClose(value, (b as Record<string, unknown>)[key], `${at}/${key}`);
  } else expect(a, at).toEqual(b);
}

/** A planted cohort with gaps, other clubs, days before and after, a drill among the tasks, and SDs stated for some swings. */
function untidy(): RowsInput {
  const rows = plantedRows({ golfers: 24, sessions: 3, swings: 9, error: { elbow: 1.5, release: 2.5 } }, 7);
  const swings = rows.swings!.map((swing, i) => ({
    ...swing,
    club: i % 3 === 0 ? 'driver' : i % 7 === 0 ? 'wedge' : 'mid-iron',
    speed_intent_pct: i % 4 === 0 ? 80 : 100,
    task: i % 29 === 0 ? 'drill' : 'full',
    pelvis_turn_impact_deg: 40 + 3 * Math.sin(i) + 0.2 * (i % 24),
    impact_offset_mm: i % 6 === 0 ? null : Math.abs(9 * Math.cos(3 * i)) + 0.3 * (i % 5),
    ...(i % 11 === 0 ? { shaft_lean_impact_deg: null } : {}),
    ...(i % 13 === 0 ? { release_onset_ms: null } : {}),
    ...(i % 17 === 0 ? { transition_elbow_change_deg: null } : {}),
    ...(i % 5 === 0 ? { transition_elbow_change_deg_sd: null } : {}),
  }));
  return {
    ...rows,
    sessions: rows.sessions!.map((session, s) => ({
      ...session,
      phase: s % 3 === 0 ? 'baseline' : 'post',
      device: s % 2 === 0 ? 'D1' : 'D2',
    })),
    swings,
  } as RowsInput;
}

describe('a mechanism from sums', () => {
  it.each([
    ['demo', () => packed('demo', DEMO)],
    ['planted', () => packedRows('planted', plantedRows({ golfers: 30, error: { elbow: 1.5 } }, 3))],
    ['untidy', () => packedRows('untidy', untidy())],
  ] as const)(
    'is the one from swings: %s',
    async (_, make) => {
      const { rows, sums } = await bothWays(await make());
      numbers = 0;
      expectClose(comparable(sums), comparable(rows), '');
      expect(numbers).toBeGreaterThan(200);
      for (const name of NEEDS_SWINGS.slice(0, 3))
        expect(sums.checks.find((check) => check.name === name)?.words, name).toMatch(/summed/);
      expect(sums.cautions.join(' ')).toContain('summed');
    },
    60_000,
  );

  it('takes another predictor and outcome, and a plan that leaves a golfer out', async () => {
    const folder = await packed('other', DEMO);
    const rows = await loadDataset(folder);
    if (!rows.valid) throw new Error('not loaded');
    const golfer = rows.value.tables.golfers.column('golfer_id')[0]!;
    const plan = {
      metric: { column: 'shaft_lean_impact_deg' },
      exclusions: [{ table: 'golfers', id: golfer, reason: 'a bird' }],
    } as unknown as Plan;
    const both = await bothWays(folder, { predictor: 'elbow_extension_onset_ms', plan });
    expectClose(comparable(both.sums), comparable(both.rows), '');
  });

  it('refuses a plan that needs each swing, and a column that is not there', async () => {
    const folder = await packed('refused', DEMO);
    const plan = {
      metric: { column: 'shaft_lean_impact_deg' },
      exclusions: [{ table: 'swings', id: 'G01-S1-01', reason: 'a bird' }],
    } as unknown as Plan;
    const refused = await fromSums(folder, { plan });
    expect(refused.ok ? [] : refused.problems.map(({ where }) => where)).toEqual(['the plan, /exclusions']);
    const absent = await fromSums(folder, { metric: 'carry_m' });
    expect(absent.ok ? '' : absent.problems[0]!.found).toContain('carry_m');
  });
});
