import { describe, expect, it } from 'vitest';
import { type Dataset, datasetFromRows, type RowsInput } from '../../../src/dataset/index.ts';
import { createStream } from '../../../src/numerics/index.ts';
import { findingPage, reportFiles } from '../../../src/report/index.ts';
import {
  type Finding,
  type InstructorsTables,
  instructors,
  serialiseFinding,
} from '../../../src/studies/index.ts';

interface World {
  readonly sizes: readonly number[];
  readonly effects: readonly number[];
  readonly column?: string;
  readonly swings?: number;
  readonly handicaps?: boolean;
}

/** A roster of pupils whose instructors add what is said to the gain of everybody. */
function rosterOf(world: World, seed: number): RowsInput {
  const { sizes, effects, swings: count = 4, handicaps = true, column = 'shaft_lean_impact_deg' } = world;
  const stream = createStream(seed);
  const golfers: Record<string, unknown>[] = [];
  const sessions: Record<string, unknown>[] = [];
  const swings: Record<string, unknown>[] = [];
  sizes.forEach((size, j) => {
    for (let i = 0; i < size; i++) {
      const golfer = `G${j}x${i}`;
      const handicap = Math.round(stream.normal(15 + 2 * j, 4));
      const level = 8 - 0.2 * handicap + stream.normal(0, 1.5);
      golfers.push({ golfer_id: golfer, plays: 'right', ...(handicaps ? { handicap_index: handicap } : {}) });
      for (const [phase, date, gain] of [
        ['baseline', '2026-03-02', 0],
        ['post', '2026-05-02', 1 + effects[j]! + stream.normal(0, 0.6)],
      ] as const) {
        const session = `${golfer}-${phase}`;
        sessions.push({ session_id: session, golfer_id: golfer, instructor_id: `I${j}`, date, phase });
        for (let k = 0; k < count; k++)
          swings.push({
            swing_id: `${session}-${k}`,
            session_id: session,
            order_in_session: k + 1,
            task: 'full',
            [column]: level + gain + stream.normal(0, 0.8),
          });
      }
    }
  });
  const names = sizes.map((_, j) => ({ instructor_id: `I${j}` }));
  return { golfers, sessions, swings, instructors: names } as unknown as RowsInput;
}

function loaded(rows: RowsInput): Dataset {
  const made = datasetFromRows(rows);
  if (!made.valid) throw new Error(made.problems.map((problem) => JSON.stringify(problem)).join('\n'));
  return made.value;
}

function asked(rows: RowsInput, options: Parameters<typeof instructors>[1] = {}): Finding<InstructorsTables> {
  const outcome = instructors(loaded(rows), options);
  if (!outcome.ok) throw new Error(outcome.problems.map(({ found }) => found).join('; '));
  return outcome.finding;
}

const plan = (value: number) =>
  ({
    study: 'instructors',
    question: 'Do instructors differ?',
    metric: { column: 'shaft_lean_impact_deg' },
    smallestChangeThatMatters: { value, why: 'agreed' },
  }) as const;

const APART: World = { sizes: [8, 9, 10, 12, 8], effects: [3, 1.5, 0, -1.5, -3] };
const ALIKE: World = { sizes: [8, 9, 10, 12, 8], effects: [0, 0, 0, 0, 0] };

describe('instructors who differ', () => {
  const finding = asked(rosterOf(APART, 1), { plan: plan(0.5) });

  it('are told apart, in the planted order, with every true effect in its interval', () => {
    expect(finding.verdict).toBe('meaningful');
    expect(finding.tables.instructors.map(({ instructor }) => instructor)).toEqual([
      'I0',
      'I1',
      'I2',
      'I3',
      'I4',
    ]);
    expect(finding.tables.instructors.map(({ rank }) => rank)).toEqual([1, 2, 3, 4, 5]);
    finding.tables.instructors.forEach(({ interval: [low, high] }, j) => {
      expect(low).toBeLessThan(APART.effects[j]!);
      expect(high).toBeGreaterThan(APART.effects[j]!);
    });
    // Pairwise mean distance of the planted effects is 3.0; that of two draws from their population is what is estimated.
    const [low, high] = finding.estimates[0]!.interval;
    expect(low!).toBeLessThan(3);
    expect(high!).toBeGreaterThan(3);
    expect(finding.answer).toContain('so instructors differ enough to matter');
    expect(finding.answer).toMatch(/Of 10 pairs of instructors, \d+ can be told apart/);
  });

  it('come the other way round where less is better', () => {
    const turned = asked(rosterOf(APART, 1), { plan: { ...plan(0.5), goodDirection: -1 } });
    expect(turned.tables.instructors.map(({ instructor }) => instructor)).toEqual([
      'I4',
      'I3',
      'I2',
      'I1',
      'I0',
    ]);
    expect(turned.verdict).toBe('meaningful');
  });

  it('are given no order where neither more nor less is better', () => {
    const neither = asked(rosterOf(APART, 1), { plan: { ...plan(0.5), goodDirection: 0 } });
    expect(neither.tables.ranked).toBe(false);
    expect(
      neither.tables.instructors.every(
        ({ rank, chanceTopThird }) => rank === null && chanceTopThird === null,
      ),
    ).toBe(true);
    expect(neither.answer).toContain('so there is no ranking');
  });

  it('give the same bytes for the same seed, and name the seed', () => {
    const again = asked(rosterOf(APART, 1), { plan: plan(0.5) });
    expect(serialiseFinding(again)).toBe(serialiseFinding(finding));
    expect(finding.provenance.seed).toBe(1);
    const other = asked(rosterOf(APART, 1), { plan: plan(0.5), seed: 9 });
    expect(other.provenance.seed).toBe(9);
    expect(other.estimates[0]!.value).not.toBe(finding.estimates[0]!.value);
    expect(other.estimates[0]!.value!).toBeCloseTo(finding.estimates[0]!.value!, 0);
  });

  it('account for every swing', () => {
    const left = finding.leftOut
      .filter(({ table }) => table === 'swings')
      .reduce((sum, { count }) => sum + count, 0);
    expect(finding.design.swings + left).toBe(2 * 47 * 4);
  });
});

describe('instructors who do not differ', () => {
  it('are not put in an order, and where the intervals are narrow it hardly matters who teaches', () => {
    const finding = asked(rosterOf(ALIKE, 3), { plan: plan(3) });
    expect(finding.verdict).toBe('too-small-to-matter');
    expect(finding.answer).toContain('it hardly matters who teaches');
    expect(finding.tables.ranked).toBe(false);
    expect(finding.answer).toContain('No two of the 5 instructors can be told apart');
    expect(findingPage(finding)).toContain('Why there is no ranking');
    expect(findingPage(finding)).not.toContain('chance of being in the top third');
  });

  it('are left undecided where the interval reaches what would matter', () => {
    const finding = asked(rosterOf(ALIKE, 3), { plan: plan(0.3) });
    expect(finding.verdict).toBe('cannot-tell');
    expect(finding.answer).toContain('cannot be told');
    expect(finding.next?.[0]).toMatch(/Gather more pupils|too alike/);
  });
});

describe('small groups', () => {
  it('of fewer than five pupils are in the model and nowhere on the page', () => {
    const finding = asked(rosterOf({ sizes: [8, 9, 10, 4, 3], effects: [3, 0, -3, 2, -2] }, 2), {
      plan: plan(0.5),
    });
    expect(finding.tables.instructors.map(({ instructor }) => instructor).toSorted()).toEqual([
      'I0',
      'I1',
      'I2',
    ]);
    expect([finding.tables.hidden, finding.tables.hiddenPupils]).toEqual([2, 7]);
    // The page's own program (without `type`) has short names of its own.
    const everything = Object.values(reportFiles(finding))
      .join('\n')
      .replace(/<script>[\s\S]*?<\/script>/g, '');
    expect(everything).toContain('I2');
    expect(everything.match(/\bI[34]\b/g)).toBeNull();
    expect(finding.cautions.join(' ')).toContain(
      '2 instructors with fewer than 5 pupils are in the model and not shown',
    );
  });

  it('leave nobody to be named where all are small', () => {
    const finding = asked(rosterOf({ sizes: [4, 4, 4, 4], effects: [3, 0, -3, 2] }, 2), { plan: plan(0.5) });
    expect(finding.tables.instructors).toEqual([]);
    expect(finding.answer).toContain('Fewer than three instructors have the 5 pupils');
    expect(findingPage(finding)).toContain('Fewer than three instructors have the 5 pupils');
  });

  it('say that there is no ranking, and not that nobody is named, where one alone is shown', () => {
    const { answer, estimates, tables } = asked(
      rosterOf({ sizes: [12, 4, 4, 4], effects: [3, 0, -3, 2] }, 2),
      {
        plan: plan(0.5),
      },
    );
    expect(tables.instructors.map(({ instructor }) => instructor)).toEqual(['I0']);
    expect(answer).toContain('so there is no ranking');
    expect(answer).not.toContain('by name');
    // Pupils come whole, and none at all measures nobody.
    const needed = estimates.find(({ key }) => key === 'pupils-needed')!;
    for (const size of [needed.value!, ...needed.interval]) {
      expect(Number.isInteger(size)).toBe(true);
      expect(size).toBeGreaterThanOrEqual(1);
    }
  });
});

describe('data that cannot answer', () => {
  const problemsOf = (rows: RowsInput, options: Parameters<typeof instructors>[1] = {}) => {
    const outcome = instructors(loaded(rows), options);
    return outcome.ok ? [] : outcome.problems.map(({ found }) => found);
  };

  it('are refused in words', () => {
    expect(problemsOf(rosterOf({ sizes: [6, 6], effects: [0, 0] }, 1))[0]).toContain('2 instructors');
    const rows = rosterOf(ALIKE, 1);
    const nobody = {
      ...rows,
      sessions: rows.sessions!.map(({ instructor_id: _, ...row }) => row),
    } as RowsInput;
    expect(problemsOf(nobody)[0]).toContain('no instructor is written for the sessions');
    const flat = {
      ...rows,
      swings: rows.swings!.map((row) => ({ ...row, shaft_lean_impact_deg: 5 })),
    } as RowsInput;
    expect(problemsOf(flat)[0]).toContain('nothing that varies');
    const before = {
      ...rows,
      sessions: rows.sessions!.map((row) => ({ ...row, phase: 'baseline' as const })),
    } as RowsInput;
    expect(problemsOf(before)[0]).toContain('no full swing with a value after');
    expect(problemsOf(rows, { metric: 'lag_top_deg' })[0]).toContain('no value in swings.csv');
    expect(
      problemsOf(rosterOf({ ...ALIKE, handicaps: false }, 1), { covariates: ['handicap_index'] })[0],
    ).toContain('no value for 47 pupils');
  });

  it('of one swing a session still get an answer, without the noise of a swing', () => {
    const finding = asked(rosterOf({ ...APART, swings: 1 }, 4));
    expect(finding.estimates[0]!.value).toBeGreaterThan(0);
    expect(JSON.stringify(finding)).not.toContain('NaN');
  });

  it('leave out who was taught by two instructors equally often, by name', () => {
    const rows = rosterOf(ALIKE, 1);
    const extra = {
      session_id: 'X1',
      golfer_id: 'G0x0',
      instructor_id: 'I3',
      date: '2026-05-03',
      phase: 'post' as const,
    };
    const finding = asked({ ...rows, sessions: [...rows.sessions!, extra] } as RowsInput);
    expect(finding.leftOut.find(({ table }) => table === 'golfers')).toMatchObject({
      ids: ['G0x0'],
      why: 'taught equally often by I0 and I3',
    });
  });
});

describe('the start of pupils', () => {
  it('does not make instructors differ whose pupils start apart and gain alike', () => {
    // Baseline means differ by instructor (handicap rises with j); a slope on the noisy start would leave part of that in.
    let called = 0;
    for (let seed = 10; seed < 22; seed++)
      if (asked(rosterOf(ALIKE, seed), { plan: plan(0.5) }).tables.ranked) called += 1;
    expect(called).toBeLessThanOrEqual(2);
  });
});
