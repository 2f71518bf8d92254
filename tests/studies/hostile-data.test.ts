import { describe, expect, it } from 'vitest';
import type { Plan, RowsInput } from '../../src/dataset/index.ts';
import { drillTrial, type Finding, type StudyOptions, serialiseFinding } from '../../src/studies/index.ts';
import { datasetOf, type Truth, trialRows } from './simulate.ts';

const both: Truth = {
  golfersPerArm: 6,
  arms: [
    { arm: 'drill', effect: 2 },
    { arm: 'usual practice', effect: 0 },
  ],
  swings: 4,
};
type Rows = ReturnType<typeof trialRows>;

/** The finding, after checking that it can be written (no NaN) and that every swing is used or listed once. */
function findingOf(rows: RowsInput, options: StudyOptions = {}): Finding {
  const dataset = datasetOf(rows);
  const outcome = drillTrial(dataset, options);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  const { finding } = outcome;
  expect(serialiseFinding(finding)).not.toContain('NaN');
  const left = finding.leftOut.filter((entry) => entry.table === 'swings');
  const ids = left.flatMap((entry) => entry.ids);
  expect(new Set(ids).size).toBe(ids.length);
  expect(left.every((entry) => entry.count === entry.ids.length)).toBe(true);
  expect(finding.design.swings + ids.length).toBe(dataset.tables.swings.length);
  return finding;
}
function problemsOf(rows: RowsInput, options: StudyOptions = {}) {
  const outcome = drillTrial(datasetOf(rows), options);
  if (outcome.ok) throw new Error(`answered: ${outcome.finding.answer}`);
  return outcome.problems;
}
function keepSwings(rows: Rows, keep: (id: string) => boolean): Rows {
  return { ...rows, swings: rows.swings.filter((swing) => keep(swing.swing_id)) };
}
function withValue(rows: Rows, value: (id: string) => number | null): Rows {
  return {
    ...rows,
    swings: rows.swings.map((swing) => ({ ...swing, shaft_lean_impact_deg: value(swing.swing_id) })),
  };
}
const armOf = (rows: Rows) => new Map(rows.assignments.map((row) => [row.golfer_id, row.arm]));

describe('thin and broken data', () => {
  const rows = trialRows(both, 3);

  it('one arm only: a change, with the warning it earns', () => {
    const finding = findingOf(trialRows({ ...both, arms: [{ arm: 'drill', effect: 2 }] }, 3));
    expect(finding.design.kind).toBe('before-after');
    expect(finding.answer).toMatch(
      /Without a control group this is a change and not the effect of the drill/,
    );
    expect(finding.warnings[0]).toContain('cannot be put down to the drill');
    expect(finding.estimates[0]!.interval[0]).not.toBeNull();
  });
  it('one swing per golfer and phase: the conditional form, with golfer-level degrees of freedom', () => {
    const finding = findingOf(keepSwings(rows, (id) => id.endsWith('-1')));
    expect(finding.model.words).toContain('by least squares');
    expect(finding.estimates[0]!.degreesOfFreedom).toBe(12 - 3);
    const { golfers } = finding.tables as { golfers: { shrunken: number | null; change: number | null }[] };
    expect(golfers.every((golfer) => golfer.shrunken === null && golfer.change !== null)).toBe(true);
  });
  it('all values equal: cannot tell, in words, and no number', () => {
    const finding = findingOf(withValue(rows, () => 4));
    expect(finding.verdict).toBe('cannot-tell');
    expect(finding.answer).toContain('every swing has the same value, 4');
    expect(finding.estimates[0]!.value).toBeNull();
    // Nor an SD of responses of 0 with an interval from 0 to 0.
    expect(finding.estimates.map(({ key }) => key)).not.toContain('individual-responses');
  });
  it('golfers who never vary, each at a level of his or her own', () => {
    const level = (id: string) => Number(id.slice(1, 4)) + (id.includes('post') ? 1 : 0);
    const finding = findingOf(withValue(rows, level));
    expect(finding.verdict).toBe('cannot-tell');
    expect(finding.answer).toContain('all golfers changed by exactly the same amount');
  });
  it('two golfers, one in each arm: a bare difference without an interval', () => {
    const finding = findingOf(trialRows({ ...both, golfersPerArm: 1 }, 3));
    expect(finding.verdict).toBe('cannot-tell');
    expect(finding.estimates[0]!.value).not.toBeNull();
    expect(finding.estimates[0]!.interval).toEqual([null, null]);
    expect(finding.answer).toContain('too few golfers to say how sure this is');
  });
  it('one golfer before and after', () => {
    const finding = findingOf(
      trialRows({ ...both, golfersPerArm: 1, arms: [{ arm: 'drill', effect: 2 }] }, 3),
    );
    expect(finding.answer).toContain('of the one golfer measured');
    expect(finding.verdict).toBe('cannot-tell');
  });
  it('two golfers in each arm', () => {
    const finding = findingOf(trialRows({ ...both, golfersPerArm: 2 }, 3));
    expect(finding.estimates[0]!.value).not.toBeNull();
    expect(finding.cautions.some((caution) => caution.includes('Fewer than 5 golfers'))).toBe(true);
  });
  it('nobody measured after: refused, with what to do', () => {
    const [problem] = problemsOf(keepSwings(rows, (id) => id.includes('baseline')));
    expect(problem!.found).toContain('after the drill (phase post)');
    expect(problem!.remedy).toContain('Measure after the drill');
  });
  it('no baseline but a control: compared after only, and said so', () => {
    const finding = findingOf(keepSwings(rows, (id) => id.includes('post')));
    expect(finding.warnings.join()).toContain('No swing was measured at baseline');
    expect(finding.estimates[0]!.interval[0]).not.toBeNull();
  });
  it('no baseline and no control: refused', () => {
    const single = trialRows({ ...both, arms: [{ arm: 'drill', effect: 2 }] }, 3);
    const [problem] = problemsOf(keepSwings(single, (id) => id.includes('post')));
    expect(problem!.expected).toContain('a baseline, or a control group');
  });
  it('every value missing: refused, listing the metrics that were measured', () => {
    const missing = withValue(rows, () => null);
    const swings = missing.swings.map((swing) => ({ ...swing, club_speed_mps: 35 }));
    const [problem] = problemsOf({ ...missing, swings });
    expect(problem!.expected).toContain('club_speed_mps');
    const [named] = problemsOf({ ...missing, swings }, { metric: 'shaft_lean_impact_deg' });
    expect(named!.found).toContain('has no value');
    const [unknown] = problemsOf({ ...missing, swings }, { metric: 'lean' });
    expect(unknown!.found).toContain("'lean' is not a metric");
  });
  it('nobody in the control came back: cannot tell, naming the arm', () => {
    const arms = armOf(rows);
    const finding = findingOf(
      keepSwings(rows, (id) => arms.get(id.slice(0, 4)) === 'drill' || id.includes('baseline')),
    );
    expect(finding.verdict).toBe('cannot-tell');
    expect(finding.answer).toContain(
      "no golfer in 'usual practice' has a full swing with a value after the drill",
    );
  });
  it('missing values, other tasks, other phases and strangers are each listed under their reason', () => {
    const mixed = trialRows(
      { ...both, drillSpeed: 3, phases: ['baseline', 'training', 'post', 'retention'] },
      3,
    );
    const swings = mixed.swings.map((swing, i) => ({
      ...swing,
      task: i % 50 === 1 ? ('chip' as const) : swing.task,
      shaft_lean_impact_deg: i % 11 === 0 ? null : swing.shaft_lean_impact_deg,
    }));
    const golfers = [...mixed.golfers, { golfer_id: 'Z9', plays: 'left' as const }];
    const sessions = [
      ...mixed.sessions,
      { session_id: 'Z9-1', golfer_id: 'Z9', date: '2026-03-02', phase: 'baseline' as const },
    ];
    const stranger = {
      swing_id: 'Z9-1-1',
      session_id: 'Z9-1',
      order_in_session: 1,
      task: 'full' as const,
      shaft_lean_impact_deg: 3,
    };
    const finding = findingOf({ ...mixed, golfers, sessions, swings: [...swings, stranger] });
    const reasons = finding.leftOut.map((entry) => entry.why).join('; ');
    for (const reason of [
      'missing',
      'chip swing',
      'drill speed',
      'training',
      'retention',
      'not in this trial',
      'not assigned',
    ])
      expect(reasons).toContain(reason);
  });
  it('an arm that everybody left', () => {
    const finding = findingOf(trialRows({ ...both, golfersPerArm: 8, leavers: [0, 1, 2] }, 4));
    const dropouts = finding.checks.find((check) => check.name === 'dropouts')!;
    expect(dropouts.outcome).toBe('bad');
    expect(dropouts.words).toContain('3 of 8');
    expect(finding.cautions.join()).toContain('More than a fifth');
  });
  it('a control that logged the drill is named; usual practice is not held against it', () => {
    const words = (drill: string) => {
      const practice = rows.practice.map((bout) => ({ ...bout, drill }));
      return findingOf({ ...rows, practice }).checks.find((check) =>
        check.name.startsWith('practice of the drill'),
      );
    };
    expect(words('towel')!.outcome).toBe('look');
    expect(words('towel')!.words).toContain('6 of 6 golfers in the control');
    expect(words('usual practice')).toBeUndefined();
  });
  it('enormous and tiny numbers', () => {
    const finding = findingOf(rows, {
      plan: planOf({ smallestChangeThatMatters: { value: 1e-9, why: 'a test' } }),
    });
    expect(finding.cautions.join()).toContain('less than what the measurement resolves');
    const wide = findingOf(rows, {
      plan: planOf({ smallestChangeThatMatters: { value: 1e9, why: 'a test' } }),
    });
    expect(wide.verdict).toBe('too-small-to-matter');
  });
});

function planOf(change: Partial<Plan> = {}): Plan {
  return {
    study: 'drill-trial',
    question: 'Does the towel drill lean the shaft forward?',
    metric: { column: 'shaft_lean_impact_deg' },
    arms: { control: 'usual practice', drill: ['drill'] },
    ...change,
  };
}

describe('the plan', () => {
  const rows = trialRows({ ...both, phases: ['baseline', 'training', 'post', 'retention'] }, 8);
  it('gives question, smallest change, level and direction', () => {
    const plan = planOf({
      smallestChangeThatMatters: { value: 1.5, why: 'worth a lesson' },
      level: 0.9,
      goodDirection: -1,
    });
    const finding = findingOf(rows, { plan, planFile: { file: 'plan.json', sha256: 'ab' } });
    expect(finding.question).toBe(plan.question);
    expect(finding.smallestChange).toMatchObject({ value: 1.5, from: 'plan', goodDirection: -1 });
    expect(finding.estimates[0]!.level).toBe(0.9);
    expect(finding.planned.planned).toBe(true);
    expect(finding.planned.words).toContain('It left open, so that this is exploratory: its definition');
    expect(finding.provenance.inputs).toContainEqual({ file: 'plan.json', sha256: 'ab' });
  });
  it('another metric than the planned one is exploratory', () => {
    const swings = rows.swings.map((swing, i) => ({ ...swing, club_speed_mps: 35 + (i % 7) / 3 }));
    const finding = findingOf({ ...rows, swings }, { plan: planOf(), metric: 'club_speed_mps' });
    expect(finding.planned.planned).toBe(false);
    expect(finding.planned.words).toContain('not planned');
  });
  it('may compare other phases', () => {
    const plan = planOf({ phases: { before: 'baseline', after: 'retention' } });
    const finding = findingOf(rows, { plan });
    const plain = findingOf(rows);
    const kept = plain.estimates.find((entry) => entry.key === 'change-drill')!;
    const other = finding.estimates.find((entry) => entry.key === 'change-drill')!;
    expect(other.value).not.toBe(kept.value);
    expect(finding.leftOut.some((entry) => entry.why.includes('between the compared phases'))).toBe(true);
  });
  it('excludes what it names, with its reason, and refuses an id that is not there', () => {
    const exclusions = [
      { table: 'golfers', id: 'G001', reason: 'new clubs' },
      { table: 'sessions', id: 'G002-post-1', reason: 'rain' },
      { table: 'swings', id: 'G003-post-1-full-1', reason: 'slipped' },
    ] as const;
    const finding = findingOf(rows, { plan: planOf({ exclusions }) });
    const of = (table: string, reason: string) =>
      finding.leftOut.find((entry) => entry.table === table && entry.why.includes(reason))!.ids;
    expect(of('golfers', 'new clubs')).toEqual(['G001']);
    expect(of('sessions', 'rain')).toEqual(['G002-post-1']);
    expect(of('swings', 'slipped')).toEqual(['G003-post-1-full-1']);
    const [problem] = problemsOf(rows, {
      plan: planOf({ exclusions: [{ table: 'golfers', id: 'G999', reason: 'x' }] }),
    });
    expect(problem!.found).toContain('G999');
  });
  it('that contradicts the assignments is a problem', () => {
    const [problem] = problemsOf(rows, { plan: planOf({ design: 'crossover' }) });
    expect(problem!.found).toContain('the plan says a crossover');
  });
});
