import { describe, expect, it } from 'vitest';
import { type Dataset, datasetFromRows, type Plan, type PlanLock } from '../../src/dataset/index.ts';
import { drillTrial, type Finding, type StudyOptions } from '../../src/studies/index.ts';
import { applyExclusions } from '../../src/studies/shared/exclusions.ts';
import { plannedOf } from '../../src/studies/shared/planned.ts';
import { comparedPart, leftOpen } from '../../src/studies/shared/planned-parts.ts';
import { studyMetric } from '../../src/studies/shared/study-metric.ts';
import { trialRows } from './simulate.ts';

const ROWS = trialRows(
  {
    golfersPerArm: 8,
    arms: [
      { arm: 'drill', effect: 3 },
      { arm: 'usual practice', effect: 0 },
    ],
    phases: ['baseline', 'post', 'retention'],
  },
  5,
);
const DATASET = datasetOf(ROWS);
const METRIC = studyMetric('shaft_lean_impact_deg');
const LEAST: Plan = {
  study: 'drill-trial',
  question: 'Did the drill help?',
  metric: { column: 'shaft_lean_impact_deg' },
};
const FULL: Plan = {
  ...LEAST,
  metric: { column: 'shaft_lean_impact_deg', version: METRIC.version },
  design: 'parallel',
  arms: { control: 'usual practice', drill: ['drill'] },
  phases: { before: 'baseline', after: 'post', retention: 'retention' },
  smallestChangeThatMatters: { value: 1, why: 'worth a lesson' },
  exclusionRules: [
    { table: 'swings', column: 'shaft_lean_impact_deg', above: 60, reason: 'no shaft leans so far' },
  ],
  stoppingRule: { words: 'After 16 golfers.', golfers: 16, sessionsPerPhase: 1, swingsPerSession: 8 },
  level: 0.95,
  model: { degreesOfFreedom: 'kenward-roger' },
};
const NONE = { baseline: 0, training: 0, post: 0, retention: 0 };
const LOCK: PlanLock = {
  seal: 'ab12'.repeat(16),
  had: { newestDate: null, golfers: 0, sessions: NONE, swings: NONE, metricValues: NONE },
  changes: [],
};

function datasetOf(rows: Parameters<typeof datasetFromRows>[0]): Dataset {
  const made = datasetFromRows(rows);
  if (!made.valid) throw new Error(JSON.stringify(made.problems));
  return made.value;
}

function findingOf(options: StudyOptions, dataset = DATASET): Finding {
  const outcome = drillTrial(dataset, options);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.finding;
}

const partOf = ({ planned }: Finding, name: string) => planned.parts?.find(({ part }) => part === name);

describe('an answer set against its plan', () => {
  it('is exploratory without one', () => {
    const { planned } = findingOf({});
    expect(planned).toMatchObject({ planned: false, timing: 'no-plan', parts: [] });
    expect(planned.words).toContain('exploratory');
  });

  it('says of each part that it is as planned, when it is', () => {
    const finding = findingOf({ plan: FULL });
    expect(finding.planned).toMatchObject({ planned: true, timing: 'not-known' });
    const states = new Map(finding.planned.parts?.map(({ part, state }) => [part, state]));
    expect([...states].filter(([, state]) => state === 'as-planned').map(([part]) => part)).toEqual([
      'the question',
      'the number that decides',
      'its definition',
      'the smallest change that matters',
      'the level of intervals',
      'degrees of freedom',
      'exclusions',
      'the stopping rule',
      'the design',
      'the arms',
      'the phases that are compared',
      'retention',
    ]);
    expect([...states.values()]).not.toContain('changed');
    expect(states.get('dose')).toBe('exploratory');
    expect(finding.planned.words).toContain('lock a plan before the first session');
  });

  it('calls exploratory what the plan leaves open', () => {
    const finding = findingOf({ plan: LEAST });
    for (const part of [
      'its definition',
      'the smallest change that matters',
      'the level of intervals',
      'degrees of freedom',
      'the stopping rule',
      'the design',
      'the arms',
      'the phases that are compared',
      'retention',
    ])
      expect(partOf(finding, part)?.state, part).toBe('exploratory');
    expect(partOf(finding, 'exclusions')?.words).toContain('names none');
    expect(finding.planned.planned).toBe(true);
    expect(finding.planned.words).toContain('It left open, so that this is exploratory: its definition');
  });

  it.each<[string, Plan, string, string]>([
    ['a definition', { ...FULL, metric: { ...FULL.metric, version: '0' } }, 'its definition', 'version 0'],
    [
      'the number of golfers',
      { ...FULL, stoppingRule: { words: 'x', golfers: 40 } },
      'the stopping rule',
      '40 golfers were planned, 16 have full swings',
    ],
    [
      'the number of sessions',
      { ...FULL, stoppingRule: { words: 'x', sessionsPerPhase: 2 } },
      'the stopping rule',
      "48 of 48 golfers' phases have another number",
    ],
    [
      'the number of swings',
      { ...FULL, stoppingRule: { words: 'x', swingsPerSession: 12 } },
      'the stopping rule',
      '48 of 48 sessions have another number',
    ],
    [
      'the last date',
      { ...FULL, stoppingRule: { words: 'x', lastDate: '2026-04-30' } },
      'the stopping rule',
      'there is one on 2026-05-18',
    ],
    [
      'the adjustment',
      { ...FULL, model: { covariates: ['handicap_index'] } },
      'what the answer is adjusted for',
      'The plan says handicap; the answer takes nothing.',
    ],
  ])('names a change of %s', (_what, plan, part, words) => {
    // What the plan adjusts for is taken unless something else, such as nothing, is asked for.
    const asked = { plan, covariates: [] };
    const found = partOf(findingOf(asked), part);
    expect(found?.state).toBe('changed');
    expect(found?.words).toContain(words);
    expect(findingOf(asked).planned.words).toContain(`Changed against it: ${part}`);
  });

  it('names a control that is not there', () => {
    const rows = {
      ...ROWS,
      assignments: ROWS.assignments.filter(({ arm }) => arm === 'drill'),
    };
    const found = partOf(findingOf({ plan: FULL }, datasetOf(rows)), 'the arms');
    expect(found?.state).toBe('changed');
    expect(found?.words).toContain("the answer compares 'drill' without a control");
  });

  it('says when retention was planned and not measured', () => {
    const sessions = ROWS.sessions.filter(({ phase }) => phase !== 'retention');
    const kept = new Set(sessions.map(({ session_id }) => session_id));
    const swings = ROWS.swings.filter(({ session_id }) => kept.has(session_id));
    const found = partOf(findingOf({ plan: FULL }, datasetOf({ ...ROWS, sessions, swings })), 'retention');
    expect(found?.state).toBe('changed');
    expect(found?.words).toContain('could not be answered');
  });

  it('is exploratory for another number, and under a plan of another study', () => {
    const options = { plan: { ...LEAST, metric: { column: 'club_speed_mps' } } as Plan };
    const other = plannedOf({ study: 'drill-trial', dataset: DATASET, options, metric: METRIC });
    expect(other.planned).toBe(false);
    expect(other.words).toContain('The plan is about club_speed_mps');
    const noise = plannedOf({ study: 'noise', dataset: DATASET, options: { plan: FULL }, metric: METRIC });
    expect(noise.planned).toBe(false);
    expect(noise.words).toContain('The plan is for the study drill-trial');
    expect(noise.parts?.[0]?.state).toBe('changed');
  });

  it('compares one choice at a time', () => {
    expect(comparedPart('x', 'a', 'a').state).toBe('as-planned');
    expect(comparedPart('x', 'a', 'b').words).toBe('The plan says a; the answer takes b.');
    expect(comparedPart('x', undefined, 'b').state).toBe('exploratory');
    expect(leftOpen('x', 'all were used').words).toBe('The plan leaves this open: all were used.');
  });

  it('compares the seed', () => {
    const of = (plan: Plan, seed?: number) =>
      plannedOf({
        study: 'drill-trial',
        dataset: DATASET,
        options: { plan, ...(seed === undefined ? {} : { seed }) },
        metric: METRIC,
      }).parts?.find(({ part }) => part === 'the seed')?.state;
    expect(of({ ...FULL, seed: 7 }, 7)).toBe('as-planned');
    expect(of({ ...FULL, seed: 7 })).toBe('as-planned');
    expect(of({ ...FULL, seed: 7 }, 8)).toBe('changed');
    expect(of(FULL, 8)).toBe('exploratory');
    expect(of(FULL)).toBeUndefined();
  });
});

describe('an answer under a locked plan', () => {
  const lockedOn = (metricValues: Partial<typeof NONE>, changes: PlanLock['changes'] = []) =>
    findingOf({
      plan: FULL,
      lock: {
        ...LOCK,
        had: {
          ...LOCK.had,
          metricValues: { ...NONE, ...metricValues },
          sessions: { ...NONE, ...metricValues },
        },
        changes,
      },
    }).planned;

  it('says what could be known when it was locked', () => {
    expect(lockedOn({})).toMatchObject({ timing: 'before-the-data' });
    expect(lockedOn({}).words).toContain('locked when no session was in the data (seal ab12ab12ab12ab12)');
    expect(lockedOn({ baseline: 96 })).toMatchObject({ timing: 'after-the-first-phase' });
    expect(lockedOn({ baseline: 96 }).words).toContain('nothing of what came after');
    expect(lockedOn({ baseline: 96, post: 1 })).toMatchObject({ timing: 'after-the-data' });
    expect(lockedOn({ baseline: 96, post: 1 }).words).toContain('96 baseline sessions and 1 post session');
    expect(lockedOn({ post: 1 }).words).toContain('does not show that the question came first');
  });

  it('says whether what was there then is there unchanged', () => {
    const part = 'the data at the lock';
    expect(lockedOn({}).parts?.at(-1)).toMatchObject({ part, state: 'as-planned' });
    const altered = lockedOn({ baseline: 96 }, [{ where: 'swings.csv, W0012', what: 'its row is gone' }]);
    expect(altered.parts?.at(-1)).toEqual({
      part,
      state: 'changed',
      words: 'swings.csv, W0012: its row is gone.',
    });
    expect(altered.words).toContain('Changed against it: the data at the lock');
  });
});

describe('exclusion rules', () => {
  const rows = {
    golfers: [
      { golfer_id: 'G1', plays: 'right' as const, handicap_index: 12 },
      { golfer_id: 'G2', plays: 'left' as const },
    ],
    sessions: [
      { session_id: 'S1', golfer_id: 'G1', date: '2026-03-01', phase: 'baseline' as const, surface: 'mat' },
      { session_id: 'S2', golfer_id: 'G2', date: '2026-03-01', phase: 'baseline' as const },
    ],
    swings: [
      {
        swing_id: 'W1',
        session_id: 'S1',
        order_in_session: 1,
        task: 'full' as const,
        club_speed_mps: 30,
        ground_first: true,
      },
      {
        swing_id: 'W2',
        session_id: 'S1',
        order_in_session: 2,
        task: 'full' as const,
        club_speed_mps: 40,
        ground_first: false,
      },
      { swing_id: 'W3', session_id: 'S2', order_in_session: 1, task: 'full' as const },
    ],
  };
  const dataset = datasetOf(rows);
  const data = {
    golfers: ['G1', 'G2'],
    sessions: [
      { session: 'S1', golfer: 'G1' },
      { session: 'S2', golfer: 'G2' },
    ],
    swings: [
      { swing: 'W1', session: 'S1' },
      { swing: 'W2', session: 'S1' },
      { swing: 'W3', session: 'S2' },
    ],
  };
  const left = (rule: Partial<NonNullable<Plan['exclusionRules']>[number]>) => {
    const exclusionRules = [{ table: 'swings' as const, column: 'club_speed_mps', reason: 'r', ...rule }];
    const { data: kept, swings } = applyExclusions(data, { ...LEAST, exclusionRules }, dataset);
    expect(kept.swings.length + swings.length).toBe(3);
    for (const { why } of swings) expect(why).toBe('excluded by the plan: r');
    return swings.map(({ id }) => id);
  };

  it('take out rows by the value of a column, whatever its kind', () => {
    expect(left({ below: 40 })).toEqual(['W1']);
    expect(left({ above: 30 })).toEqual(['W2']);
    expect(left({ is: 30 })).toEqual(['W1']);
    expect(left({ missing: true })).toEqual(['W3']);
    expect(left({ column: 'ground_first', is: true })).toEqual(['W1']);
    expect(left({ column: 'ground_first', is: false })).toEqual(['W2']);
    expect(left({ column: 'task', is: 'full' })).toEqual(['W1', 'W2', 'W3']);
    expect(left({ table: 'sessions', column: 'surface', is: 'mat' })).toEqual(['W1', 'W2']);
    expect(left({ table: 'sessions', column: 'surface', missing: true })).toEqual(['W3']);
    expect(left({ table: 'golfers', column: 'handicap_index', above: 10 })).toEqual(['W1', 'W2']);
    expect(left({ table: 'golfers', column: 'handicap_index', missing: true })).toEqual(['W3']);
  });

  it('of a column the file does not have, only the missing', () => {
    expect(left({ column: 'low_point_cm', below: 1 })).toEqual([]);
    expect(left({ column: 'low_point_cm', missing: true })).toEqual(['W1', 'W2', 'W3']);
  });
});
