import { describe, expect, it, vi } from 'vitest';
import type { RowsInput } from '../../../src/dataset/index.ts';
import { defaultChoice, mechanism, mechanismUnder, serialiseFinding } from '../../../src/studies/index.ts';
import { datasetOf } from '../simulate.ts';
import { plantedRows } from './cohort.ts';

// The whole study is asked several times.
vi.setConfig({ testTimeout: 60_000 });

type Swing = NonNullable<RowsInput['swings']>[number];

function rows(
  change: (swing: Record<string, unknown>, at: number) => Record<string, unknown>,
  golfers = 10,
): RowsInput {
  const input = plantedRows({ golfers, swings: 6 }, 2);
  return { ...input, swings: input.swings!.map((swing, at) => change({ ...swing }, at) as unknown as Swing) };
}

function problemsOf(input: RowsInput, options = {}) {
  const outcome = mechanism(datasetOf(input), options);
  if (outcome.ok) throw new Error(outcome.finding.answer);
  return outcome.problems
    .map(({ where, found, expected, remedy }) => `${where}: ${found}; ${expected}; ${remedy}`)
    .join('\n');
}

describe('what cannot be answered is refused in words', () => {
  it('too few golfers', () => {
    expect(problemsOf(plantedRows({ golfers: 4 }, 1))).toMatch(
      /4 golfers with at least 3 full swings.*at least 5 such golfers.*one-golfer/s,
    );
  });
  it('no elbow number', () => {
    expect(problemsOf(rows(({ transition_elbow_change_deg: _, ...swing }) => swing))).toMatch(
      /no column that says how early the elbow straightens/,
    );
  });
  it('an elbow number that is the same at all swings of a golfer', () => {
    expect(problemsOf(rows((swing) => ({ ...swing, transition_elbow_change_deg: -8 })))).toMatch(
      /transition_elbow_change_deg is the same at every swing/,
    );
  });
  it('an outcome that is the same at all swings', () => {
    expect(problemsOf(rows((swing) => ({ ...swing, shaft_lean_impact_deg: 5 })))).toMatch(
      /shaft_lean_impact_deg is the same at every swing/,
    );
  });
  it('no lean at all', () => {
    expect(problemsOf(rows(({ shaft_lean_impact_deg: _, ...swing }) => swing))).toMatch(
      /no metric asked for/,
    );
  });
  it('an unknown or empty predictor and mediator, both at once', () => {
    const said = problemsOf(plantedRows({ golfers: 8 }, 1), {
      predictor: 'elbow',
      mediator: 'lag_delivery_deg',
    });
    expect(said).toMatch(/--predictor: 'elbow'/);
    expect(said).toMatch(/--mediator: lag_delivery_deg has no value/);
  });
  it('a rating or the elbow itself as the number that answers', () => {
    expect(problemsOf(plantedRows({ golfers: 8 }, 1), { metric: 'strike_rating' })).toMatch(/a rating/);
    expect(problemsOf(plantedRows({ golfers: 8 }, 1), { metric: 'transition_elbow_change_deg' })).toMatch(
      /also the predictor/,
    );
    expect(problemsOf(plantedRows({ golfers: 8 }, 1), { metric: 'release_onset_ms' })).toMatch(
      /also the mediator/,
    );
  });
});

describe('what is partly there is answered as far as it goes', () => {
  it('without release, strike, turn or stated errors', () => {
    const input = rows((swing) => {
      const keep = [
        'swing_id',
        'session_id',
        'order_in_session',
        'task',
        'transition_elbow_change_deg',
        'shaft_lean_impact_deg',
      ];
      return Object.fromEntries(Object.entries(swing).filter(([key]) => keep.includes(key)));
    });
    const outcome = mechanism(datasetOf(input));
    if (!outcome.ok) throw new Error('refused');
    const { finding } = outcome;
    expect(finding.answer).toMatch(/When the club was let go was not measured/);
    expect(finding.checks.find(({ name }) => name === 'measurement error of the elbow')?.outcome).toBe(
      'look',
    );
    expect(finding.checks.find(({ name }) => name === 'common cause: the club')?.outcome).toBe(
      'not-possible',
    );
    expect(finding.tables.indirect).toBeNull();
    expect(() => serialiseFinding(finding)).not.toThrow();
  });

  it('accounts for every swing', () => {
    const input = rows((swing, at) =>
      at % 7 === 0
        ? { ...swing, transition_elbow_change_deg: undefined }
        : at % 11 === 0
          ? { ...swing, task: 'drill' }
          : swing,
    );
    const outcome = mechanism(datasetOf(input));
    if (!outcome.ok) throw new Error('refused');
    const { finding } = outcome;
    const left = finding.leftOut
      .filter(({ table }) => table === 'swings')
      .reduce((sum, { count }) => sum + count, 0);
    expect(finding.design.swings + left).toBe(input.swings!.length);
    expect(finding.leftOut.map(({ why }) => why)).toContain('not a full swing');
  });

  it('gives the same bytes twice, and the same answer under the default choice', () => {
    const dataset = datasetOf(plantedRows({ golfers: 9, swings: 6, error: { elbow: 1.5 } }, 4));
    const [one, two] = [mechanism(dataset), mechanism(dataset)];
    if (!one.ok || !two.ok) throw new Error('refused');
    expect(serialiseFinding(one.finding)).toBe(serialiseFinding(two.finding));
    const under = mechanismUnder(dataset, defaultChoice(dataset));
    expect(under.perStep!.value).toBe(one.finding.estimates[0]!.value);
    expect(under.verdict).toBe(one.finding.verdict);
  });

  it('uses the plan: smallest difference, level and question', () => {
    const dataset = datasetOf(plantedRows({ golfers: 12 }, 4));
    const plan = {
      study: 'mechanism',
      question: 'Does it?',
      metric: { column: 'shaft_lean_impact_deg' },
      smallestChangeThatMatters: { value: 40, why: 'a test' },
      level: 0.9,
    } as const;
    const outcome = mechanism(dataset, { plan });
    if (!outcome.ok) throw new Error('refused');
    const { finding } = outcome;
    expect(finding.question).toBe('Does it?');
    expect(finding.verdict).toBe('too-small-to-matter');
    expect(finding.estimates[0]!.level).toBe(0.9);
    expect(finding.planned.planned).toBe(true);
    expect(finding.smallestChange).toMatchObject({ value: 40, from: 'plan', unit: 'deg per 10 deg' });
  });
});
