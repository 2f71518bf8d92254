import { existsSync } from 'node:fs';
import { mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { datasetFromRows, loadDataset } from '../../src/dataset/index.ts';
import { cohortReadme } from '../../src/synthetic/cohort-readme.ts';
import {
  type Cohort,
  generateCohort,
  type Recipe,
  recipeNames,
  writeCohort,
} from '../../src/synthetic/index.ts';
import { mean, phaseMeans } from './summaries.ts';
import { type DeepPartial, variant } from './variant.ts';

type Values = Record<string, number | string | boolean | null>;

describe('every recipe', () => {
  let all: { name: string; recipe: Recipe; cohort: Cohort }[];
  beforeAll(async () => {
    all = [];
    for (const name of await recipeNames()) {
      // Simulated bodies take their time; a few will do here.
      const recipe = await variant(name, name.startsWith('mechanics') ? { roster: { golfers: 8 } } : {});
      all.push({ name, recipe, cohort: generateCohort(recipe, 17) });
    }
  }, 300_000);

  it('makes a dataset without errors', () => {
    for (const { cohort } of all) {
      const checked = datasetFromRows(cohort.tables);
      expect(checked.problems.filter(({ severity }) => severity === 'error')).toEqual([]);
    }
  });

  it.each([
    // Drawn in the far tails: an elbow that came out straight at lead arm parallel, and one bent past the body's reach.
    ['drill-crossover', 11],
    ['drill-stepped-start', 245],
  ])('%s with seed %i, far in the tails, stays within what an elbow can do', async (name, seed) => {
    const checked = datasetFromRows(generateCohort(await variant(name), seed).tables);
    expect(checked.problems.filter(({ severity }) => severity === 'error')).toEqual([]);
  });

  it('the same seed gives the same rows, another seed others', () => {
    const { recipe, cohort } = all[0]!;
    expect(generateCohort(recipe, 17)).toEqual(cohort);
    expect(generateCohort(recipe, 18).tables.swings[0]).not.toEqual(cohort.tables.swings[0]);
  });

  it('definitions hold exactly in the table, and a value is missing where one it needs is', () => {
    const definitions: [string, string[], (a: number, b: number) => number, number][] = [
      [
        'transition_elbow_change_deg',
        ['trail_elbow_flexion_arm_parallel_deg', 'trail_elbow_flexion_top_deg'],
        (a, b) => a - b,
        1,
      ],
      [
        'elbow_recoil_deg',
        ['trail_elbow_flexion_peak_deg', 'trail_elbow_flexion_top_deg'],
        (a, b) => a - b,
        1,
      ],
      ['smash_factor', ['ball_speed_mps', 'club_speed_mps'], (a, b) => a / b, 3],
      ['release_timing_pct', ['release_onset_ms', 'downswing_ms'], (a, b) => 100 * (1 - a / b), 1],
    ];
    let missing = 0;
    for (const { recipe, cohort } of all)
      for (const row of cohort.tables.swings as unknown as Values[]) {
        for (const [column, inputs, defined, decimals] of definitions) {
          const [a, b] = inputs.map((name) => row[name]);
          if (typeof a === 'number' && typeof b === 'number')
            expect(Math.abs(Number(row[column]) - defined(a, b))).toBeLessThan(0.501 * 10 ** -decimals);
        }
        for (const [column, needs] of [
          ['trail_elbow_flexion_arm_parallel_deg', 'trail_elbow_flexion_top_deg'],
          ['dynamic_loft_deg', 'shaft_lean_impact_deg'],
          ['smash_factor', 'ball_speed_mps'],
        ] as const)
          if (row[needs] === null) {
            missing++;
            expect(row[column]).toBeNull();
          }
        if (row.shaft_lean_impact_deg !== null)
          expect(row.dynamic_loft_deg).toBe(
            Number((recipe.strike.staticLoftDeg - Number(row.shaft_lean_impact_deg)).toFixed(1)),
          );
        if (row.lag_peak_deg !== null)
          expect(row.lag_peak_deg).toBeGreaterThanOrEqual(Number(row.lag_top_deg));
        if (row.elbow_recoil_deg !== null) expect(row.elbow_recoil_deg).toBeGreaterThanOrEqual(0);
      }
    expect(missing).toBeGreaterThan(50);
  });

  it('the drill task is swung at 50 to 60 per cent and is slower; ground contact goes with a low point far back', () => {
    const swings = all.flatMap(({ cohort }) => cohort.tables.swings as unknown as Values[]);
    const drill = swings.filter(({ task }) => task === 'drill');
    for (const { speed_intent_pct } of drill) expect(speed_intent_pct).toBeGreaterThanOrEqual(50);
    for (const { speed_intent_pct } of drill) expect(speed_intent_pct).toBeLessThanOrEqual(60);
    const average = (rows: Values[], column: string) =>
      mean(rows.flatMap((row) => (row[column] === null ? [] : [Number(row[column])])));
    const full = swings.filter(({ task }) => task === 'full');
    expect(average(drill, 'club_speed_mps') / average(full, 'club_speed_mps')).toBeCloseTo(0.55, 1);
    const first = full.filter(({ ground_first }) => ground_first === true);
    const ball = full.filter(({ ground_first }) => ground_first === false);
    expect(average(first, 'low_point_cm')).toBeLessThan(average(ball, 'low_point_cm') - 5);
    expect(average(first, 'strike_rating')).toBeLessThan(average(ball, 'strike_rating'));
  });

  it('visits are in order of date and of phase within a period; each golfer has one instructor', () => {
    for (const { cohort } of all)
      for (const { golfer_id } of cohort.tables.golfers) {
        const own = cohort.tables.sessions.filter((session) => session.golfer_id === golfer_id);
        const dates = own.map(({ date }) => date);
        expect(dates).toEqual([...dates].sort());
        // Two devices at once are two rows of one day.
        expect(new Set(own.map(({ date, device }) => `${date} ${device}`)).size).toBe(dates.length);
        expect(new Set(own.map(({ instructor_id }) => instructor_id)).size).toBe(1);
      }
  });

  const named = (name: string) => all.find((one) => one.name === name)!;

  it('parallel: one assignment each, half and half in each stratum, after the baseline visit', () => {
    const { tables } = named('drill-parallel-effect').cohort;
    expect(tables.assignments).toHaveLength(36);
    for (const stratum of ['lower handicap', 'higher handicap']) {
      const members = tables.assignments.filter((row) => row.stratum === stratum);
      expect(members.filter(({ arm }) => arm === 'drill').length).toBe(members.length / 2);
    }
    for (const session of tables.sessions) {
      const { assigned_on } = tables.assignments.find(({ golfer_id }) => golfer_id === session.golfer_id)!;
      expect(session.date < assigned_on).toBe(session.phase === 'baseline');
    }
    expect(new Set(tables.practice.map(({ drill }) => drill))).toEqual(
      new Set(['towel brush', 'usual practice']),
    );
    expect(tables.golfers.filter(({ plays }) => plays === 'left').length).toBeGreaterThan(0);
  });

  it('crossover: two assignments each, half of the golfers in either order, each period with its own visits', () => {
    const { tables } = named('drill-crossover').cohort;
    let drillFirst = 0;
    for (const { golfer_id } of tables.golfers) {
      const [first, second] = tables.assignments.filter((row) => row.golfer_id === golfer_id);
      expect(new Set([first!.arm, second!.arm])).toEqual(new Set(['drill', 'control']));
      expect(first!.assigned_on < second!.assigned_on).toBe(true);
      if (first!.arm === 'drill') drillFirst++;
      const own = tables.sessions.filter((session) => session.golfer_id === golfer_id);
      for (const session of own) expect(session.date >= first!.assigned_on).toBe(true);
      for (const inPeriod of [
        own.filter(({ date }) => date < second!.assigned_on),
        own.filter(({ date }) => date >= second!.assigned_on),
      ]) {
        const order = inPeriod.map(({ phase }) => ['baseline', 'training', 'post'].indexOf(phase));
        expect(order).toEqual([...order].sort());
        expect(order.length).toBeLessThanOrEqual(3);
      }
    }
    expect(drillFirst).toBe(18);
  });

  it('stepped start: everybody the drill, at staggered dates, measured in shared waves', () => {
    const { tables } = named('drill-stepped-start').cohort;
    expect(new Set(tables.assignments.map(({ arm }) => arm))).toEqual(new Set(['drill']));
    expect(new Set(tables.assignments.map(({ assigned_on }) => assigned_on)).size).toBe(4);
    expect(new Set(tables.sessions.map(({ date }) => date)).size).toBe(6);
    for (const session of tables.sessions) {
      const { assigned_on } = tables.assignments.find(({ golfer_id }) => golfer_id === session.golfer_id)!;
      expect(session.phase).toBe(session.date < assigned_on ? 'baseline' : 'post');
    }
  });

  it('before and after: one arm, golfers picked for a poor first visit', () => {
    const { recipe, cohort } = named('drill-before-after');
    expect(new Set(cohort.tables.assignments.map(({ arm }) => arm))).toEqual(new Set(['drill']));
    const { metric, limit } = recipe.selection!;
    for (const phases of phaseMeans(cohort.tables, metric, 'full').values())
      expect(phases.get('baseline')!).toBeGreaterThan(limit);
  });
});

describe('what happens to golfers', () => {
  it('regression to the mean by selection, of the size the formula gives', async () => {
    // One skill, so that everything is normal; nothing learned. Barnett, van der Pols & Dobson, Int J Epidemiol 2005;34:215:
    // RTM = var_within / sd_total * phi(z) / (1 - Phi(z)).
    const nothing = { mean: 0, sd: 0 };
    const recipe = await variant('drill-before-after', {
      roster: {
        golfers: 500,
        handicap: { lowest: 14.96, highest: 15.04 },
        skilledHandicap: 0,
        lessSkilledHandicap: 30,
      },
      session: { fullSwings: 3, drillSwings: 0 },
      learning: {
        drill: { transition_elbow_change_deg: nothing },
        practice: { transition_elbow_change_deg: nothing },
      },
      dropout: { share: 0 },
      missing: { valueShare: 0, visitShare: 0 },
      selection: { limit: -3 },
    });
    const { tables, truth } = generateCohort(recipe, 4);
    const { golfer, session, swing } = truth.varianceComponents.transition_elbow_change_deg!;
    const within = session + swing / 3;
    const total = Math.sqrt(golfer + within);
    const usual = (-13 + -5) / 2;
    const z = (-3 - usual) / total;
    // phi and Phi at z, by the error function's integral (Simpson's rule, 2000 steps).
    const phi = (x: number) => Math.exp(-(x * x) / 2) / Math.sqrt(2 * Math.PI);
    const steps = 2000;
    let area = 0;
    for (let i = 0; i <= steps; i++)
      area += phi((z * i) / steps) * (i % steps === 0 ? 1 : i % 2 === 1 ? 4 : 2);
    const above = 0.5 - (z * area) / (3 * steps);
    const expected = -(within / total) * (phi(z) / above);
    const changes = [...phaseMeans(tables, 'transition_elbow_change_deg', 'full').values()].map(
      (phases) => phases.get('post')! - phases.get('baseline')!,
    );
    const standardError = Math.sqrt((2 * within) / changes.length);
    expect(expected).toBeLessThan(-1);
    expect(Math.abs(mean(changes) - expected)).toBeLessThan(4 * standardError);
  }, 120_000);

  it('those who progress less leave more often, and log nothing after their last visit', async () => {
    const recipe = await variant('drill-parallel-effect', {
      roster: { golfers: 250 },
      session: { fullSwings: 3, drillSwings: 0 },
      dropout: { share: 0.3, perUnit: 0.15 },
      missing: { valueShare: 0, visitShare: 0 },
    });
    const { tables, truth } = generateCohort(recipe, 9);
    const left = new Set(truth.golfers.flatMap(({ golfer_id, leftEarly }) => (leftEarly ? [golfer_id] : [])));
    expect(left.size).toBeGreaterThan(25);
    const change = new Map(
      [...phaseMeans(tables, 'transition_elbow_change_deg', 'full')].map(([id, phases]) => [
        id,
        phases.get('training')! - phases.get('baseline')!,
      ]),
    );
    const [leavers, stayers] = [true, false].map((leaves) =>
      [...change].flatMap(([id, value]) => (left.has(id) === leaves ? [value] : [])),
    );
    expect(mean(leavers!)).toBeGreaterThan(mean(stayers!) + 1);
    for (const { phase, golfer_id } of tables.sessions)
      if (left.has(golfer_id)) expect(['baseline', 'training']).toContain(phase);
    for (const id of left) {
      const last = tables.sessions.filter(({ golfer_id }) => golfer_id === id).at(-1)!.date;
      for (const bout of tables.practice) if (bout.golfer_id === id) expect(bout.date <= last).toBe(true);
    }
  }, 120_000);

  it('missing values and missed visits are as many as the recipe says', async () => {
    const recipe = await variant('drill-parallel-effect', {
      roster: { golfers: 300 },
      session: { fullSwings: 3, drillSwings: 0 },
      dropout: { share: 0 },
      missing: { valueShare: 0.1, visitShare: 0.2 },
    });
    const { tables } = generateCohort(recipe, 3);
    const planned = 300 * 3;
    const seen = tables.sessions.filter(({ phase }) => phase !== 'baseline').length;
    expect(Math.abs(seen - 0.8 * planned)).toBeLessThan(4 * Math.sqrt(planned * 0.16));
    expect(tables.sessions.filter(({ phase }) => phase === 'baseline')).toHaveLength(300);
    const empty = tables.swings.filter(({ club_speed_mps }) => club_speed_mps === null).length;
    expect(Math.abs(empty - 0.1 * tables.swings.length)).toBeLessThan(
      4 * Math.sqrt(tables.swings.length * 0.09),
    );
  }, 60_000);
});

describe('files', () => {
  let folder: string;
  let recipe: Recipe;
  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'cohort-'));
    recipe = await variant('drill-parallel-effect');
  });
  afterAll(() => rm(folder, { recursive: true }));

  it('the demo roster is what its recipe and seed give, byte for byte', async () => {
    const demo = fileURLToPath(new URL('../../synthetic/demo', import.meta.url));
    const out = join(folder, 'demo');
    await writeCohort(out, recipe, generateCohort(recipe, 2026));
    const files = (await readdir(out)).sort();
    expect(files).toEqual([
      'README.md',
      'assignments.csv',
      'datapackage.json',
      'golfers.csv',
      'instructors.csv',
      'practice.csv',
      'sessions.csv',
      'swings.csv',
      'truth.json',
    ]);
    for (const file of files)
      expect(
        (await readFile(join(out, file))).equals(await readFile(join(demo, file))),
        `${file}: if the change is meant, make the demo again (synthetic/README.md says how)`,
      ).toBe(true);
    expect(await readFile(join(demo, 'README.md'), 'utf8')).toContain(
      'Everything in this folder is invented',
    );
  }, 60_000);

  it('reads back as the rows it was made from, and truth.json says it is invented', async () => {
    const out = join(folder, 'again');
    const cohort = generateCohort(recipe, 5);
    await writeCohort(out, recipe, cohort);
    const loaded = await loadDataset(out);
    expect(loaded.valid && loaded.value.tables.swings.length).toBe(cohort.tables.swings.length);
    const truth = JSON.parse(await readFile(join(out, 'truth.json'), 'utf8'));
    expect(truth).toMatchObject({ invented: true, recipe: 'drill-parallel-effect', seed: 5 });
    expect(truth.drillEffect.transition_elbow_change_deg).toBe(-8);
    expect(truth).toEqual(JSON.parse(JSON.stringify(cohort.truth)));
  }, 60_000);

  it('the README says what the design is, and where the truth stands', () => {
    const texts = (name: string, shape: DeepPartial<Recipe>) =>
      variant(name, shape).then((one) => cohortReadme(one, generateCohort(one, 1)));
    return Promise.all([
      texts('instructors-none', {}).then((text) => {
        expect(text).toContain('Nobody was assigned to anything. Each visit has 8 full swings.');
        expect(text).toContain('in `teaching`;');
      }),
      texts('single-golfer', {}).then((text) => {
        expect(text).toContain('those of `training` with it');
        expect(text).toContain('in `series`;');
      }),
      texts('waveform-window', {}).then((text) => expect(text).toContain('in `curves`;')),
      texts('noise-two-devices', {}).then((text) => expect(text).toContain('in `devices`;')),
      texts('confounded', { roster: { golfers: 4 } }).then((text) =>
        expect(text).toContain('in `mechanism`;'),
      ),
    ]);
  }, 60_000);

  it('a folder that holds something is left as it is', async () => {
    const out = join(folder, 'taken');
    await mkdir(out);
    await writeFile(join(out, 'golfers.csv'), 'mine');
    await expect(writeCohort(out, recipe, generateCohort(recipe, 1))).rejects.toThrow('exists already');
    expect(await readdir(out)).toEqual(['golfers.csv']);
    expect(await readFile(join(out, 'golfers.csv'), 'utf8')).toBe('mine');
  }, 60_000);

  it('values that no dataset may hold are refused, and nothing is written', async () => {
    const wild = await variant('drill-parallel-effect', {
      metrics: { trail_elbow_flexion_top_deg: { mean: { skilled: 500, lessSkilled: 500 } } },
    });
    const out = join(folder, 'wild');
    const problems = await writeCohort(out, wild, generateCohort(wild, 1));
    expect(problems[0]).toMatchObject({ where: '/metrics/trail_elbow_flexion_top_deg' });
    expect(existsSync(out)).toBe(false);
  }, 60_000);
});
