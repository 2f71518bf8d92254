import { describe, expect, it } from 'vitest';
import { datasetFromRows, type Plan } from '../../../src/dataset/index.ts';
import { findingPage } from '../../../src/report/index.ts';
import { type Finding, type PlanInput, planFinding, serialiseFinding } from '../../../src/studies/index.ts';
import { loadRecipe, trialComponents } from '../../../src/synthetic/index.ts';
import { trialRows } from '../simulate.ts';

async function recipeOf(name: string) {
  const loaded = await loadRecipe(name);
  if (!loaded.valid) throw new Error(JSON.stringify(loaded.problems));
  return loaded.recipe;
}
const RECIPE = await recipeOf('drill-parallel-effect');
/** Few draws and a coarse effect: these tests are of words. */
const QUICK = { recipe: RECIPE, effect: 4, change: 1, draws: 200, swings: 6 } as const;

async function findingOf(input: PlanInput): Promise<Finding> {
  const outcome = await planFinding(input);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.finding;
}

async function problemsOf(input: PlanInput) {
  const outcome = await planFinding(input);
  return outcome.ok ? [] : outcome.problems;
}

const estimateOf = ({ estimates }: Finding, key: string) => estimates.find((entry) => entry.key === key);

describe('the size of a study', () => {
  it('is found, and is the least that does', async () => {
    const finding = await findingOf(QUICK);
    const golfers = finding.estimates[0]!;
    expect(golfers.key).toBe('golfers');
    expect(finding.verdict).toBe('meaningful');
    expect(finding.answer).toContain(`${golfers.value} golfers (`);
    expect(finding.answer).toContain(
      "have 80% chance of the verdict 'a change that matters' if the drill truly makes",
    );
    expect(finding.answer).toContain(
      '4.0 deg further forward and 1.0 deg is the smallest change that matters',
    );
    expect(finding.answer).toContain('If there is no effect at all');
    const chance = async (n: number) =>
      estimateOf(await findingOf({ ...QUICK, golfers: n }), 'chance-meaningful')!.value!;
    expect(await chance(golfers.value!)).toBeGreaterThanOrEqual(80);
    expect(await chance(golfers.value! - 2)).toBeLessThan(80);
    const tables = finding.tables as { grid: { golfers: number; swings: number; meaningful: number }[] };
    expect(tables.grid).toHaveLength(12);
    for (const cell of tables.grid) {
      const more = tables.grid.filter((own) => own.swings === cell.swings && own.golfers > cell.golfers);
      for (const own of more) expect(own.meaningful).toBeGreaterThan(cell.meaningful - 0.08);
    }
  }, 60_000);

  it('gives the same bytes for the same request, and others for another seed', async () => {
    const text = async (seed: number) => serialiseFinding(await findingOf({ ...QUICK, golfers: 20, seed }));
    expect(await text(1)).toBe(await text(1));
    expect(await text(1)).not.toBe(await text(2));
    expect(await text(1)).not.toMatch(/NaN|Infinity/);
  }, 60_000);

  it.each<[string, Partial<PlanInput>, string, string]>([
    ['enough golfers', { golfers: 40 }, 'meaningful', 'that is enough for the wished 80%'],
    ['too few golfers', { golfers: 8 }, 'cannot-tell', 'golfers in all.'],
    [
      'too few where no number does',
      { golfers: 8, effect: 1.02 },
      'cannot-tell',
      'even 600 golfers would not do',
    ],
    ['an effect that is too small', { effect: 0.9 }, 'cannot-tell', 'no larger than 1.0 deg'],
    ['an effect the wrong way', { effect: -3 }, 'cannot-tell', '3.0 deg further back, goes the wrong way'],
    ['an effect out of reach', { effect: 1.02 }, 'cannot-tell', 'More than 600 golfers'],
    ['one group', { design: 'before-after', golfers: 30 }, 'meaningful', 'what happens between'],
    ['a crossover', { design: 'crossover', golfers: 20 }, 'meaningful', 'after each of the two periods'],
    ['no baseline', { design: 'after-only', golfers: 60 }, 'cannot-tell', 'after the drill and none before'],
  ])(
    'is put into words for %s',
    async (_what, change, verdict, words) => {
      const finding = await findingOf({ ...QUICK, ...change });
      expect(finding.answer).toContain(words);
      expect(finding.verdict).toBe(verdict);
      expect(finding.next!.length).toBeGreaterThan(0);
      expect(findingPage(finding)).toContain('Plan of a study');
    },
    120_000,
  );

  it('looks at a number that should be small the right way round', async () => {
    const finding = await findingOf({
      ...QUICK,
      metric: 'transition_elbow_change_deg',
      effect: -8,
      change: 2,
      golfers: 24,
    });
    expect(finding.smallestChange?.goodDirection).toBe(-1);
    expect(estimateOf(finding, 'detectable')!.value).toBeLessThan(-2);
    expect(estimateOf(finding, 'chance-meaningful')!.value).toBeGreaterThan(50);
  }, 60_000);
});

describe('a plan given', () => {
  const plan: Plan = {
    study: 'drill-trial',
    question: 'Does it help?',
    metric: { column: 'shaft_lean_impact_deg' },
    design: 'parallel',
    smallestChangeThatMatters: { value: 1, why: 'worth a lesson' },
    stoppingRule: { words: 'After 24 golfers.', golfers: 24, sessionsPerPhase: 1, swingsPerSession: 6 },
    level: 0.9,
    model: { degreesOfFreedom: 'satterthwaite' },
    seed: 12,
  };

  it('settles metric, size, level, method and seed', async () => {
    const finding = await findingOf({ recipe: RECIPE, plan, effect: 4, draws: 200 });
    expect(finding.design).toMatchObject({ golfers: 24, swings: 24 * 2 * 6 });
    expect(finding.smallestChange).toMatchObject({ value: 1, from: 'plan' });
    expect(finding.provenance.seed).toBe(12);
    expect(finding.model.words).toContain('Satterthwaite degrees of freedom and 90% intervals');
    expect(finding.planned.parts?.every(({ state }) => state === 'as-planned')).toBe(true);
  }, 60_000);

  it('is said to be changed where the request departs from it', async () => {
    const finding = await findingOf({ recipe: RECIPE, plan, effect: 4, draws: 200, golfers: 30, change: 2 });
    const altered = finding.planned.parts?.filter(({ state }) => state === 'changed').map(({ part }) => part);
    expect(altered).toEqual(['the smallest change that matters', 'golfers']);
  }, 60_000);
});

describe('a pilot', () => {
  const truth = { betweenSd: 4, changeSd: 1.5, sessionSd: 1, swingSd: 2 };
  const made = datasetFromRows(
    trialRows(
      {
        ...truth,
        golfersPerArm: 150,
        sessions: 3,
        swings: 6,
        arms: [
          { arm: 'drill', effect: 2 },
          { arm: 'control', effect: 0 },
        ],
      },
      3,
    ),
  );
  if (!made.valid) throw new Error('no pilot');
  const request = { dataset: made.value, effect: 3, change: 1, draws: 200, golfers: 20 } as const;

  it('gives back the SDs it was drawn from', async () => {
    const { spread } = (await findingOf(request)).tables as { spread: Record<string, number> };
    expect(spread.golferSd).toBeCloseTo(truth.betweenSd, 0);
    expect(Math.abs(spread.changeSd! - truth.changeSd)).toBeLessThan(0.3);
    expect(Math.abs(spread.sessionSd! - truth.sessionSd)).toBeLessThan(0.15);
    expect(Math.abs(spread.swingSd! - truth.swingSd)).toBeLessThan(0.1);
  }, 60_000);

  it('needs an effect, for data of one kind do not say what a drill would do', async () => {
    const { effect, ...rest } = request;
    expect(effect).toBe(3);
    expect(await problemsOf(rest)).toMatchObject([{ where: '--effect', found: 'no assumed effect' }]);
  });

  it('with one phase or one session says what it cannot know', async () => {
    const once = datasetFromRows(
      trialRows(
        { ...truth, golfersPerArm: 12, phases: ['baseline'], arms: [{ arm: 'drill', effect: 0 }] },
        4,
      ),
    );
    if (!once.valid) throw new Error('no pilot');
    const finding = await findingOf({ ...request, dataset: once.value });
    expect(finding.cautions.join(' ')).toContain('how golfers change of themselves is not known');
    expect(finding.cautions.join(' ')).toContain('one session in a phase');
  }, 60_000);

  it('that is too thin or constant is refused', async () => {
    const of = (rows: Parameters<typeof datasetFromRows>[0]) => {
      const built = datasetFromRows(rows);
      if (!built.valid) throw new Error('no pilot');
      return problemsOf({ ...request, dataset: built.value });
    };
    const rows = trialRows({ golfersPerArm: 3, arms: [{ arm: 'drill', effect: 0 }] }, 4);
    expect((await of(rows))[0]?.found).toContain('of 3 golfers');
    const many = trialRows({ golfersPerArm: 12, arms: [{ arm: 'drill', effect: 0 }] }, 4);
    const constant = many.swings.map((swing) => ({ ...swing, shaft_lean_impact_deg: 5 }));
    expect((await of({ ...many, swings: constant }))[0]?.found).toContain('one and the same value');
    const other = many.swings.map(({ shaft_lean_impact_deg: _, ...swing }) => ({
      ...swing,
      club_speed_mps: 35,
    }));
    expect((await of({ ...many, swings: other }))[0]?.found).toContain('0 full swings');
  });
});

describe('a request that makes no sense', () => {
  it('is refused in words, all at once', async () => {
    expect(await problemsOf({})).toMatchObject([{ where: '--recipe, --data', found: 'neither' }]);
    const many = await problemsOf({
      ...QUICK,
      golfers: 7,
      swings: 1,
      draws: 10,
      chance: 1.2,
      leaving: 0.9,
      change: 0,
    });
    expect(many.map(({ where }) => where)).toEqual([
      '--golfers',
      '--swings',
      '--leaving',
      '--chance',
      '--draws',
      '--change',
    ]);
    expect(await problemsOf({ ...QUICK, metric: 'lean' })).toMatchObject([{ where: 'the metric' }]);
    expect((await problemsOf({ ...QUICK, metric: 'strike_quality' })).length).toBe(1);
    expect((await problemsOf({ ...QUICK, recipe: await recipeOf('drill-stepped-start') }))[0]).toMatchObject({
      where: 'the design',
      found: 'stepped-start',
    });
    expect((await problemsOf({ ...QUICK, effect: 0 }))[0]).toMatchObject({ where: '--effect' });
  });
});

describe('what a recipe plants for a trial', () => {
  it('is worked out by hand for the release of the wrist', () => {
    // base.json: practice moves the elbow by an SD of 1.5 deg and nothing else that reaches the release, which takes 1.1 ms
    // of each degree; the drill moves the elbow by -8 deg.
    const found = trialComponents(RECIPE, 'release_onset_ms')!;
    expect(found.changeSd).toBeCloseTo(1.1 * 1.5, 9);
    expect(found.effect).toBeCloseTo(1.1 * -8, 9);
    expect(trialComponents(RECIPE, 'strike_quality')).toBeNull();
  });
});
