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
  it('are twenty-one, and all good', async () => {
    expect(await recipeNames()).toEqual([
      'between-only',
      'confounded',
      'drill-before-after',
      'drill-crossover',
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
    ['nobody in one arm', { design: { controlShare: 1 } }, '/design/controlShare'],
  ])('%s', (_, change, path) => {
    expect(wrong(change).map(({ where }) => where)).toContain(path);
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
