import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { SIMULATED_GOLFERS } from '../../src/synthetic/bodies/index.ts';
import {
  checkRecipe,
  loadRecipe,
  type Recipe,
  recipeNames,
  recipeProblemText,
} from '../../src/synthetic/index.ts';
import { MODELLED_METRICS } from '../../src/synthetic/model/modelled-metrics.ts';
import { mergePatch } from '../../src/synthetic/recipe/merge-patch.ts';
import { TIMING_PARAMETERS } from '../../src/synthetic/recipe/recipe.ts';
import { sharedReference } from '../reference/shared.ts';
import { merged, variant } from './variant.ts';

const problemsOf = (candidate: unknown) => {
  const checked = checkRecipe(candidate);
  return checked.valid ? [] : checked.problems;
};

describe('recipes of the package', () => {
  it('are twenty-two, and all good', async () => {
    expect(await recipeNames()).toEqual([
      'between-only',
      'confounded',
      'drill-before-after',
      'drill-crossover',
      'drill-decay',
      'drill-no-effect',
      'drill-parallel-effect',
      'drill-stepped-start',
      'errors-in-predictors',
      'instructors-none',
      'instructors-some',
      'mechanics-drill',
      'mechanics-roster',
      'mechanism-paths',
      'multiple-baseline',
      'noise-devices-by-visit',
      'noise-two-devices',
      'single-golfer',
      'single-golfer-abab',
      'single-golfer-trend',
      'waveform-no-window',
      'waveform-window',
    ]);
    for (const name of await recipeNames()) {
      const loaded = await loadRecipe(name);
      expect(loaded.valid ? [] : loaded.problems.map(recipeProblemText), name).toEqual([]);
      if (loaded.valid) expect(loaded.recipe.name).toBe(name);
    }
  });

  it('the schema knows exactly the modelled metrics', async () => {
    const schema = JSON.parse(
      await readFile(new URL('../../data-schemas/recipe.schema.json', import.meta.url), 'utf8'),
    );
    expect(schema.definitions.metricName.enum).toEqual([...MODELLED_METRICS]);
    expect(Object.keys(schema.properties.metrics.properties)).toEqual([...MODELLED_METRICS]);
  });

  it('the schema knows exactly what simulated golfers are drawn from', async () => {
    const { definitions } = JSON.parse(
      await readFile(new URL('../../data-schemas/recipe.schema.json', import.meta.url), 'utf8'),
    );
    // Names of all numbers, as paths through the schema and through the distributions.
    const inSchema = (node: { $ref?: string; properties?: object }): string[] => {
      const { properties } = node.$ref ? definitions[node.$ref.split('/').at(-1)!] : node;
      return properties === undefined
        ? ['']
        : Object.entries(properties).flatMap(([key, inner]) =>
            inSchema(inner as typeof node).map((rest) => `/${key}${rest}`),
          );
    };
    const inValue = (value: unknown): string[] =>
      typeof value === 'number'
        ? ['']
        : Object.entries(value as object).flatMap(([key, inner]) =>
            inValue(inner).map((rest) => `/${key}${rest}`),
          );
    expect(inSchema(definitions.simulatedGolfers).sort()).toEqual(inValue(SIMULATED_GOLFERS).sort());
    expect(Object.keys(definitions.timingEffects.properties)).toEqual([...TIMING_PARAMETERS]);
  });

  const literature = sharedReference('literature.json');
  it.skipIf(literature === null)(
    'quote their sources as they stand in the reference collection',
    async () => {
      const entries = JSON.parse(await readFile(literature!, 'utf8')) as Record<string, unknown>[];
      const recipe = await variant('drill-parallel-effect');
      const cited = Object.values(recipe.sources).filter(({ kind }) => kind !== 'invented');
      expect(cited.length).toBeGreaterThan(20);
      for (const source of cited) {
        const entry = entries.find(
          ({ quantity, population, source: from }) =>
            quantity === source.quantity && population === source.population && from === source.source,
        );
        expect(entry, source.quantity).toMatchObject(JSON.parse(JSON.stringify(source)));
      }
    },
  );
});

const NO_PRACTICE = {
  transition_elbow_change_deg: undefined,
  shaft_lean_impact_deg: undefined,
  hand_speed_peak_mps: undefined,
};
/** A change that gives a recipe simulated bodies. */
const mechanics = (golfers: object) => ({
  learning: { drill: { transition_elbow_change_deg: undefined }, practice: NO_PRACTICE },
  movement: { model: 'mechanics', golfers, source: { '*': 'invented' } },
});

describe('a bad recipe', () => {
  let good: Recipe;
  beforeAll(async () => {
    good = await variant('drill-parallel-effect');
  });
  const wrong = (change: unknown) => problemsOf(merged(good, change));

  it('is refused with every fault at once, each with its path, what was found and what was expected', () => {
    const problems = wrong({
      dropout: { share: 1.4 },
      metrics: {
        shaft_lean_impact_deg: { sessionSd: -1 },
        knee_flexion_deg: { mean: 3 },
      },
      roster: { golfers: 'many' },
      weather: 'windy',
    });
    expect(problems.map(({ where }) => where).sort()).toEqual([
      '/dropout/share',
      '/metrics/knee_flexion_deg',
      '/metrics/shaft_lean_impact_deg/sessionSd',
      '/roster/golfers',
      '/weather',
    ]);
    const byPath = new Map(problems.map((problem) => [problem.where, problem]));
    expect(byPath.get('/metrics/shaft_lean_impact_deg/sessionSd')).toMatchObject({
      found: '-1',
      expected: 'a number >= 0',
    });
    expect(byPath.get('/dropout/share')).toMatchObject({ found: '1.4', expected: 'a number < 1' });
    expect(byPath.get('/metrics/knee_flexion_deg')!.expected).toContain('shaft_lean_impact_deg');
    expect(byPath.get('/roster/golfers')!.found).toBe('"many"');
    for (const problem of problems)
      expect(recipeProblemText(problem)).toMatch(/^\/.+: found .+; expected .+\. .+/);
  });

  it.each([
    ['a missing block', { strike: undefined }, '/strike'],
    ['not marked as invented', { invented: false }, '/invented'],
    [
      'an effect on an unknown metric',
      { learning: { drill: { grip_deg: { mean: 1, sd: 1 } } } },
      '/learning/drill/grip_deg',
    ],
    ['an unknown design', { design: { kind: 'lottery' } }, '/design/kind'],
    ['a key of another design', { design: { periodDays: 100 } }, '/design/periodDays'],
    ['a date that is none', { session: { firstDate: '2026-02-30' } }, '/session/firstDate'],
    [
      'more variance through paths than in all',
      { metrics: { shaft_lean_impact_deg: { golferSd: { skilled: 1 } } } },
      '/metrics/shaft_lean_impact_deg/golferSd',
    ],
    [
      'paths in a circle',
      { metrics: { transition_elbow_change_deg: { paths: { shaft_lean_impact_deg: 1 } } } },
      '/metrics',
    ],
    ['a source that is not there', { dropout: { source: { share: 'hearsay' } } }, '/dropout/source/share'],
    [
      'a number without a source',
      { measurement: { source: { '*': undefined, other: 'invented' } } },
      '/measurement/spread',
    ],
    ['a range upside down', { practiceLog: { reps: { from: 50, to: 20 } } }, '/practiceLog/reps'],
    [
      'adherence above all',
      { practiceLog: { adherence: { mean: 0.9, halfWidth: 0.2 } } },
      '/practiceLog/adherence',
    ],
    ['a handicap range upside down', { roster: { handicap: { lowest: 40 } } }, '/roster/handicap/lowest'],
    ['a skill scale upside down', { roster: { skilledHandicap: 35 } }, '/roster/skilledHandicap'],
    ['no effect yet at post', { learning: { rampDays: 90 } }, '/learning/rampDays'],
    ['practice after post', { practiceLog: { weeks: 20 } }, '/practiceLog/weeks'],
    ['an assignment before baseline', { design: { assignedDay: 0 } }, '/design/assignedDay'],
    [
      'visits out of order',
      {
        design: {
          visits: [
            { phase: 'baseline', day: 50 },
            { phase: 'post', day: 20 },
          ],
        },
      },
      '/design/visits/1/day',
    ],
    [
      'no post visit',
      {
        design: {
          visits: [
            { phase: 'baseline', day: 0 },
            { phase: 'training', day: 70 },
          ],
        },
      },
      '/design/visits',
    ],
    [
      'a source by an inherited name',
      { dropout: { source: { share: 'toString' } } },
      '/dropout/source/share',
    ],
    ['a source of nothing', { dropout: { source: { sahre: 'invented' } } }, '/dropout/source/sahre'],
    ['an impossible body', mechanics({ height_m: { mean: 0.9 } }), '/movement/golfers/height_m/mean'],
    [
      'a negative SD of bodies',
      mechanics({ onset_ms: { wrist: { sd: { skilled: -1 } } } }),
      '/movement/golfers/onset_ms/wrist/sd/skilled',
    ],
    ['an unknown part of the body', mechanics({ knee_deg: { mean: 3 } }), '/movement/golfers/knee_deg'],
    [
      'bodies that cannot swing, though each number by itself is within bounds',
      mechanics({
        strength: { mean: { skilled: 0.3, lessSkilled: 0.3 } },
        elbowAtTop_deg: { mean: { skilled: 40, lessSkilled: 40 }, sd: { skilled: 0, lessSkilled: 0 } },
        lag_deg: { mean: { skilled: 40, lessSkilled: 40 } },
      }),
      '/movement/golfers',
    ],
    [
      'bodies beside paths',
      { movement: { model: 'paths', golfers: {}, source: { '*': 'invented' } } },
      '/movement/golfers',
    ],
    [
      'an effect on a metric beside mechanics',
      { movement: { model: 'mechanics', source: { '*': 'invented' } } },
      '/learning/drill/transition_elbow_change_deg',
    ],
    [
      'several devices beside mechanics',
      {
        ...mechanics({}),
        devices: {
          pairing: 'same-swings',
          list: ['a', 'b'].map((name) => ({ name, rateHz: 100, bias: {}, errorFactor: 1 })),
          source: { '*': 'invented' },
        },
      },
      '/devices',
    ],
    [
      'thresholds out of order',
      { strike: { rating: { thresholds: [2, 1, 3, 4] } } },
      '/strike/rating/thresholds/1',
    ],
    [
      'slopes of golfers beside a drill',
      { metrics: { release_onset_ms: { golferPaths: { transition_elbow_change_deg: 0.2 } } } },
      '/learning/drill',
    ],
    [
      'the SD of a slope that is not there',
      { metrics: { lag_top_deg: { pathSds: { release_onset_ms: 0.2 } } } },
      '/metrics/lag_top_deg/pathSds/release_onset_ms',
    ],
    [
      'a drill where nobody is assigned',
      { design: { kind: 'roster', controlShare: undefined, assignedDay: undefined } },
      '/learning/drill',
    ],
    ['nobody in one arm', { design: { controlShare: 1 } }, '/design/controlShare'],
  ])('%s', (_, change, path) => {
    expect(wrong(change).map(({ where }) => where)).toContain(path);
  });

  it('a mechanics recipe that is in order has no fault', () => {
    expect(wrong(mechanics({ height_m: { mean: 1.8 } }))).toEqual([]);
  });

  it('pupils, instructors, windows and correlations must agree with each other', async () => {
    const faults = async (name: string, change: object) =>
      problemsOf(merged(await variant(name), change)).map(({ where }) => where);
    expect(await faults('instructors-none', { teaching: { pupils: [60] } })).toEqual(['/teaching/pupils']);
    expect(
      await faults('instructors-none', { teaching: { betterPlayersFirst: [1, 2, 3, 4, 5, 6, 7, 9] } }),
    ).toEqual(['/teaching/betterPlayersFirst']);
    expect(await faults('instructors-none', { roster: { golfers: 61, instructors: 9 } })).toEqual([
      '/teaching/pupils',
      '/teaching/pupils',
    ]);
    const window = { fromPct: 50, toPct: 70, height: 1, heightSd: 0 };
    expect(await faults('waveform-window', { curves: { trail_elbow_flexion: { window } } })).toEqual([
      '/curves/trail_elbow_flexion/window',
    ]);
    expect(
      await faults('mechanism-paths', {
        metrics: { release_onset_ms: { pathSds: undefined } },
      }),
    ).toEqual(['/mechanism/slopeCorrelations/0/first']);
    expect(
      await faults('mechanism-paths', {
        design: {
          visits: [
            { phase: 'baseline', day: 0 },
            { phase: 'post', day: 80 },
          ],
        },
      }),
    ).toEqual(['/design']);
    expect(
      await faults('single-golfer', { learning: { doseShare: 0.5 }, practiceLog: { weeks: 2 } }),
    ).toEqual(['/learning/doseShare', '/practiceLog/weeks']);
  });

  it.each([
    ['/__proto__', '"__proto__": { "polluted": 1 }'],
    ['/constructor', '"constructor": { "prototype": {} }'],
    ['/metrics/__proto__', '"metrics": { "__proto__": { "mean": 1 } }'],
    ['/learning/drill/__proto__', '"learning": { "drill": { "__proto__": { "mean": 1, "sd": 1 } } }'],
    [
      '/sources/__proto__',
      '"sources": { "__proto__": { "kind": "invented", "confidence": "none", "quantity": "x" } }',
    ],
    ['/dropout/source/share', '"dropout": { "source": { "share": "__proto__" } }'],
    ['/dropout/source/__proto__', '"dropout": { "source": { "__proto__": "invented" } }'],
    [
      '/movement/golfers/__proto__',
      '"movement": { "model": "mechanics", "golfers": { "__proto__": { "mean": 1 } }, "source": { "*": "invented" } }',
    ],
  ])('a hostile name is refused at %s and changes nothing', async (path, text) => {
    const folder = await mkdtemp(join(tmpdir(), 'hostile-'));
    const file = join(folder, 'hostile.json');
    await writeFile(file, `{ "base": "drill-parallel-effect", "name": "hostile", ${text} }`);
    const loaded = await loadRecipe(file);
    await rm(folder, { recursive: true });
    expect(loaded.valid ? [] : loaded.problems.map(({ where }) => where)).toContain(path);
    expect(({} as Record<string, unknown>).polluted).toBeUndefined();
  });

  it('crossover and stepped start have their own calendar', async () => {
    const crossover = await variant('drill-crossover');
    expect(problemsOf(merged(crossover, { design: { periodDays: 50 } })).map(({ where }) => where)).toEqual([
      '/design/periodDays',
    ]);
    expect(problemsOf(merged(crossover, { design: { assignedDay: 9 } })).map(({ where }) => where)).toContain(
      '/design/assignedDay',
    );
    const stepped = await variant('drill-stepped-start');
    const problems = problemsOf(
      merged(stepped, {
        learning: { rampDays: 40 },
        practiceLog: { weeks: 6 },
        design: { startsAfterWave: [2, 6] },
      }),
    );
    expect(problems.map(({ where }) => where).sort()).toEqual([
      '/design/startsAfterWave/1',
      '/learning/rampDays',
      '/practiceLog/weeks',
    ]);
  });

  it('a selection that nobody meets says so', async () => {
    const recipe = await variant('drill-before-after', { roster: { golfers: 2 }, selection: { limit: 900 } });
    const { generateCohort } = await import('../../src/synthetic/index.ts');
    expect(() => generateCohort(recipe, 1)).toThrow('meet the selection; move selection.limit');
  });
});

describe('files', () => {
  let folder: string;
  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'recipes-'));
  });
  afterAll(() => rm(folder, { recursive: true }));
  const write = async (name: string, text: string) => {
    await writeFile(join(folder, name), text);
    return join(folder, name);
  };

  it('a recipe of one’s own starts from a base and changes it', async () => {
    const path = await write(
      'mine.json',
      JSON.stringify({ base: 'drill-parallel-effect', name: 'mine', roster: { golfers: 12 } }),
    );
    const loaded = await loadRecipe(path);
    expect(loaded.valid && loaded.recipe.roster.golfers).toBe(12);
    expect(loaded.valid && loaded.recipe.roster.instructors).toBe(3);
    const next = await write('next.json', JSON.stringify({ base: 'mine.json', name: 'next' }));
    const second = await loadRecipe(next);
    expect(second.valid && second.recipe.roster.golfers).toBe(12);
  });

  it.each([
    ['an unknown name', 'drill-parallel-efect', 'drill-parallel-effect'],
    ['a file that is not there', '/nowhere/mine.json', 'a file ending in .json'],
  ])('%s is answered with what there is', async (_, name, expected) => {
    const loaded = await loadRecipe(name);
    expect(loaded.valid).toBe(false);
    if (!loaded.valid) expect(loaded.problems[0]!.expected).toContain(expected);
  });

  it('broken files and bases', async () => {
    const cases = [
      ['{ "name": ', 'not JSON'],
      ['[1, 2]', '[1,2]'],
      ['{ "base": 7 }', '7'],
      ['{ "base": "nothing-like-it" }', 'nothing-like-it'],
      ['{ "base": "circle.json" }', 'circle.json'],
    ] as const;
    for (const [text, found] of cases) {
      const loaded = await loadRecipe(await write('circle.json', text));
      expect(loaded.valid).toBe(false);
      if (!loaded.valid) {
        expect(loaded.problems).toHaveLength(1);
        expect(loaded.problems[0]!.found).toContain(found);
      }
    }
  });
});

// The examples of RFC 7396, appendix A.
describe('merge patch', () => {
  it.each([
    [{ a: 'b' }, { a: 'c' }, { a: 'c' }],
    [{ a: 'b' }, { b: 'c' }, { a: 'b', b: 'c' }],
    [{ a: 'b' }, { a: null }, {}],
    [{ a: 'b', b: 'c' }, { a: null }, { b: 'c' }],
    [{ a: ['b'] }, { a: 'c' }, { a: 'c' }],
    [{ a: 'c' }, { a: ['b'] }, { a: ['b'] }],
    [{ a: { b: 'c' } }, { a: { b: 'd', c: null } }, { a: { b: 'd' } }],
    [{ a: [{ b: 'c' }] }, { a: [1] }, { a: [1] }],
    [
      ['a', 'b'],
      ['c', 'd'],
      ['c', 'd'],
    ],
    [{ a: 'b' }, ['c'], ['c']],
    [{ a: 'foo' }, null, null],
    [{ a: 'foo' }, 'bar', 'bar'],
    [{ e: null }, { a: 1 }, { e: null, a: 1 }],
    [[1, 2], { a: 'b', c: null }, { a: 'b' }],
    [{}, { a: { bb: { ccc: null } } }, { a: { bb: {} } }],
  ])('%j changed by %j is %j', (target, patch, result) => {
    expect(mergePatch(target, patch)).toEqual(result);
  });
});
