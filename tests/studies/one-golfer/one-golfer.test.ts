import { describe, expect, it } from 'vitest';
import type { Dataset, Plan } from '../../../src/dataset/index.ts';
import {
  type Finding,
  type OneGolferTables,
  oneGolfer,
  type StudyOptions,
  serialiseFinding,
} from '../../../src/studies/index.ts';
import { datasetOf } from '../simulate.ts';
import { phased, round, seriesDataset, seriesRows } from './make-series.ts';

const PLAN: Plan = {
  study: 'one-golfer',
  question: 'Did the shaft come to lean further forward?',
  metric: { column: 'shaft_lean_impact_deg' },
  smallestChangeThatMatters: { value: 2, why: 'Less is not seen in the strike.' },
};

/** The finding, after checking that it can be written (no NaN) and that every swing is used or listed once. */
function findingOf(dataset: Dataset, options: StudyOptions = {}): Finding<OneGolferTables> {
  const outcome = oneGolfer(dataset, options);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  const { finding } = outcome;
  expect(serialiseFinding(finding)).not.toMatch(/NaN|Infinity/);
  const ids = finding.leftOut.filter(({ table }) => table === 'swings').flatMap((entry) => entry.ids);
  expect(new Set(ids).size).toBe(ids.length);
  expect(finding.design.swings + ids.length).toBe(dataset.tables.swings.length);
  return finding;
}
function problemsOf(dataset: Dataset, options: StudyOptions = {}) {
  const outcome = oneGolfer(dataset, options);
  if (outcome.ok) throw new Error(`answered: ${outcome.finding.answer}`);
  return outcome.problems;
}
const ab = (n: number, m: number, change: number) =>
  seriesDataset([
    {
      golfer: 'G01',
      sessions: phased([
        ['baseline', round(5, n)],
        ['training', round(5 + change, m, n)],
      ]),
    },
  ]);
const key = (finding: Finding, wanted: string) => finding.estimates.find((one) => one.key === wanted);

describe('whom it is about', () => {
  const two = seriesDataset([
    {
      golfer: 'G01',
      sessions: phased([
        ['baseline', round(5, 4)],
        ['training', round(8, 4)],
      ]),
    },
    {
      golfer: 'G02',
      sessions: phased([
        ['baseline', round(4, 4)],
        ['training', round(6, 4)],
      ]),
    },
  ]);
  it('with several and none named, it refuses and lists them', () => {
    const [problem] = problemsOf(two);
    expect(problem).toMatchObject({ where: 'the golfer', found: 'no golfer named' });
    expect(problem!.expected).toContain('G01, G02');
    expect(problem!.remedy).toContain('--golfer');
  });
  it('takes the only one there is, the one named, or the plan’s', () => {
    expect(findingOf(ab(6, 6, 3)).question).toContain('G01');
    expect(findingOf(two, { golfers: ['G02'] }).question).toContain('G02');
    const plan: Plan = { ...PLAN, series: { golfers: ['G02'], startDrawn: false } };
    expect(findingOf(two, { plan }).answer).toContain('of G02 was');
  });
  it('refuses one who is not there, or has no values', () => {
    expect(problemsOf(two, { golfers: ['G09'] })[0]).toMatchObject({ found: "'G09'" });
    const rows = seriesRows([
      { golfer: 'G01', sessions: phased([['baseline', [5, 6]]]) },
      { golfer: 'G02', sessions: phased([['baseline', [5, 6]]]) },
    ]);
    const empty = datasetOf({
      ...rows,
      swings: rows.swings.map((swing) =>
        swing.session_id.startsWith('G02') ? { ...swing, shaft_lean_impact_deg: null } : swing,
      ),
    });
    expect(problemsOf(empty, { golfers: ['G02'] })[0]!.found).toContain('no full swing with a value of G02');
    // The other has values, and alone is not asked about by mistake.
    expect(findingOf(empty).question).toContain('G01');
  });
  it('refuses a metric that is not there, in words', () => {
    expect(problemsOf(ab(4, 4, 1), { metric: 'club_speed_mps' })[0]!.where).toBe('the metric');
  });
});

describe('phases', () => {
  it('baseline, training, baseline, training by date is ABAB; post goes on with B; retention stands apart', () => {
    const finding = findingOf(
      seriesDataset([
        {
          golfer: 'G01',
          sessions: phased([
            ['baseline', round(5, 4)],
            ['training', round(8, 3)],
            ['post', round(8, 1)],
            ['baseline', round(5, 4)],
            ['training', round(8, 4)],
            ['retention', [7, 8]],
          ]),
        },
      ]),
    );
    expect(finding.tables.randomisation).toMatchObject({ pattern: 'ABAB', sessions: 16, least: 3 });
    expect(finding.design.words).toContain('then 2 sessions at retention');
    expect(finding.leftOut[0]).toMatchObject({
      count: 4,
      why: 'made at retention: used only for what was kept',
    });
    expect(key(finding, 'retention')!.value).toBeCloseTo(7.5 - round(5, 4).reduce((a, b) => a + b) / 4, 9);
    expect(finding.answer).toContain('in the 8 sessions with the training than in the 8 without');
    expect(finding.cautions.join(' ')).toContain('may stay');
  });
  it('the plan may compare other phases; what it does not name is left out', () => {
    const dataset = seriesDataset([
      {
        golfer: 'G01',
        sessions: phased([
          ['baseline', round(5, 4)],
          ['training', round(6, 3)],
          ['post', round(8, 4)],
        ]),
      },
    ]);
    const finding = findingOf(dataset, { plan: { ...PLAN, phases: { before: 'baseline', after: 'post' } } });
    expect(finding.design.sessions).toBe(8);
    expect(finding.leftOut.map(({ why }) => why)).toContain('made in a phase that the plan does not compare');
  });
});

describe('what the design can show', () => {
  it('AB of 20 with 5 in a phase: 11 ways, and p = 0.05 cannot be reached', () => {
    const plan: Plan = { ...PLAN, series: { startDrawn: true, leastSessions: 5 } };
    const finding = findingOf(ab(10, 10, 6), { plan });
    expect(finding.tables.randomisation).toMatchObject({ ways: 11, drawn: true });
    expect(finding.tables.randomisation!.p).toBeCloseTo(1 / 11, 12);
    expect(finding.answer).toContain('cannot reach p = 0.05 here: the design could have fallen in 11 ways');
    expect(finding.answer).toContain('0.0909');
    const check = finding.checks.find(({ name }) => name === 'what the design can show')!;
    expect(check.outcome).toBe('bad');
    expect(check.words).toContain('AB needs 29 sessions in all');
    expect(finding.warnings.join(' ')).toContain('too small to show by its draw');
    expect(finding.next!.join(' ')).toContain('29 sessions');
  });
  it('ABAB of 24 with 4 in a phase: 165 ways, drawn', () => {
    const dataset = seriesDataset([
      {
        golfer: 'G01',
        sessions: phased([
          ['baseline', round(5, 6)],
          ['training', round(10, 6)],
          ['baseline', round(5, 6)],
          ['training', round(10, 6)],
        ]),
      },
    ]);
    const plan: Plan = { ...PLAN, series: { startDrawn: true, leastSessions: 4 } };
    const finding = findingOf(dataset, { plan });
    expect(finding.tables.randomisation!.ways).toBe(165);
    expect(finding.tables.randomisation!.p).toBeCloseTo(1 / 165, 12);
    expect(finding.answer).toContain(
      'The design was drawn at random, says the plan: randomisation test p = 0.0061',
    );
    expect(finding.verdict).toBe('meaningful');
    expect(finding.checks[0]).toMatchObject({ outcome: 'good' });
    expect(finding.sensitivity.map(({ name }) => name)).toContain('by the draw alone');
  });
  it('without a plan p is only as if', () => {
    const finding = findingOf(ab(14, 14, 6));
    expect(finding.answer).toMatch(/Had the design been drawn at random, .* nothing says that it was/);
    expect(finding.checks[0]).toMatchObject({ outcome: 'look' });
    expect(finding.cautions[0]).toContain('does not show why');
    expect(key(finding, 'randomisation-p')!.meaning).toContain('only as if');
  });
  it('a phase shorter than the plan allows is no design that could have been drawn', () => {
    const plan: Plan = { ...PLAN, series: { startDrawn: true, leastSessions: 7 } };
    const finding = findingOf(ab(10, 5, 6), { plan });
    expect(finding.tables.randomisation).toBeNull();
    expect(finding.checks[0]).toMatchObject({ outcome: 'not-possible' });
    expect(finding.checks[0]!.words).toContain('one has 5');
    expect(finding.planned.parts!.find(({ part }) => part === 'the draw')!.state).toBe('changed');
  });
  it('several golfers in turn, drawn to windows: N! x the product of start points', () => {
    const made = [6, 4, 8].map((start, k) => ({
      golfer: `G0${k + 1}`,
      sessions: phased([
        ['baseline', round(5 + k, start, k)],
        ['training', round(10 + k, 14 - start, k + 2)],
      ]),
    }));
    const golfers = made.map(({ golfer }) => golfer);
    const windows = [
      [4, 5],
      [6, 7],
      [8, 9],
    ] as const;
    const plan: Plan = {
      ...PLAN,
      series: { golfers, startDrawn: true, golfersDrawn: true, startWindows: windows },
    };
    const finding = findingOf(seriesDataset(made), { plan });
    expect(finding.design.kind).toBe('multiple-baseline');
    expect(finding.tables.randomisation).toMatchObject({
      ways: 6 * 8,
      kind: 'multiple-baseline',
      drawn: true,
    });
    const odd: Plan = {
      ...plan,
      series: { ...plan.series!, startWindows: windows.map(([a]) => [a + 9, a + 9]) },
    };
    expect(findingOf(seriesDataset(made), { plan: odd }).checks[0]!.words).toContain('do not allow');
    // Without windows each start is as if drawn by itself.
    expect(findingOf(seriesDataset(made), { golfers }).tables.randomisation!.ways).toBe(9 ** 3);
    const short: Plan = { ...plan, series: { ...plan.series!, startWindows: windows.slice(0, 2) } };
    expect(findingOf(seriesDataset(made), { plan: short }).checks[0]!.words).toContain(
      '2 windows for 3 golfers',
    );
  });
  it('golfers of whom one goes back and forth have no test together, and an answer all the same', () => {
    const dataset = seriesDataset([
      {
        golfer: 'G01',
        sessions: phased([
          ['baseline', round(5, 4)],
          ['training', round(8, 4)],
        ]),
      },
      {
        golfer: 'G02',
        sessions: phased([
          ['baseline', round(5, 4)],
          ['training', round(8, 4)],
          ['baseline', round(5, 4)],
        ]),
      },
    ]);
    const finding = findingOf(dataset, { golfers: ['G01', 'G02'] });
    expect(finding.checks[0]!.words).toContain('they have AB, ABA');
    expect(finding.estimates[0]!.value).not.toBeNull();
  });
});

describe('data that cannot answer', () => {
  it('one session: cannot tell, and no number', () => {
    const finding = findingOf(seriesDataset([{ golfer: 'G01', sessions: phased([['baseline', [5]]]) }]));
    expect(finding.verdict).toBe('cannot-tell');
    expect(finding.answer).toBe('Cannot tell: there is no session with a value after the start.');
    expect(finding.estimates[0]).toMatchObject({ value: null, interval: [null, null] });
  });
  it('nothing before the start', () => {
    const finding = findingOf(
      seriesDataset([{ golfer: 'G01', sessions: phased([['training', round(5, 4)]]) }]),
    );
    expect(finding.answer).toContain('no session with a value before the start');
  });
  it('only retention', () => {
    const finding = findingOf(seriesDataset([{ golfer: 'G01', sessions: phased([['retention', [5, 6]]]) }]));
    expect(finding.answer).toContain('before or after');
  });
  it('one before and one after, nobody else: the difference, without an interval', () => {
    const finding = findingOf(ab(1, 1, 3), { plan: PLAN });
    expect(finding.verdict).toBe('cannot-tell');
    expect(finding.estimates[0]!.interval).toEqual([null, null]);
    expect(finding.answer).toContain('no other golfer measured twice in one phase');
    expect(finding.answer).toContain('How large a difference noise alone makes is not known');
  });
  it('exactly alike within phases: no interval, since measured swings are not', () => {
    const dataset = seriesDataset([
      {
        golfer: 'G01',
        sessions: phased([
          ['baseline', [5, 5, 5, 5]],
          ['training', [8, 8, 8, 8]],
        ]),
      },
    ]);
    const finding = findingOf(dataset, { plan: PLAN });
    expect(finding.verdict).toBe('cannot-tell');
    expect(finding.answer).toContain('exactly alike');
  });
  it('all missing: refused in words', () => {
    const rows = seriesRows([
      {
        golfer: 'G01',
        sessions: phased([
          ['baseline', [5]],
          ['training', [5]],
        ]),
      },
    ]);
    const dataset = datasetOf({
      ...rows,
      swings: rows.swings.map((swing) => ({ ...swing, shaft_lean_impact_deg: null })),
    });
    expect(problemsOf(dataset)[0]!.where).toBe('the metric');
  });
});

describe('where the noise is from', () => {
  const roster = Array.from({ length: 8 }, (_, k) => ({
    golfer: `R${k + 1}`,
    sessions: phased([['baseline', round(3 + k, 2, k)]]),
  }));
  it('too few sessions of one’s own: from the roster, said so', () => {
    const dataset = seriesDataset([
      {
        golfer: 'G01',
        sessions: phased([
          ['baseline', [5]],
          ['post', [12]],
        ]),
      },
      ...roster,
    ]);
    const finding = findingOf(dataset, { golfers: ['G01'], plan: PLAN });
    expect(finding.estimates[0]).toMatchObject({ value: 7, degreesOfFreedom: 8 });
    const [low, high] = finding.estimates[0]!.interval;
    expect((low! + high!) / 2).toBeCloseTo(7, 9);
    expect(high! - 7).toBeCloseTo(key(finding, 'detectable')!.value!, 9);
    expect(finding.answer).toContain('16 sessions in 8 phases of other golfers of the roster');
    expect(finding.warnings.join(' ')).toContain('taken from other golfers');
    expect(finding.verdict).toBe('meaningful');
  });
  it('enough of one’s own: from those, and the roster only beside', () => {
    const dataset = seriesDataset([
      {
        golfer: 'G01',
        sessions: phased([
          ['baseline', round(5, 8)],
          ['training', round(9, 8)],
        ]),
      },
      ...roster,
    ]);
    const finding = findingOf(dataset, { golfers: ['G01'], plan: PLAN });
    expect(finding.answer).toContain("this golfer's own 16 sessions");
    expect(finding.sensitivity.map(({ name }) => name)).toContain('noise of the roster');
  });
});

describe('checks', () => {
  it('a device that changed with the training is named', () => {
    const sessions = phased([
      ['baseline', round(5, 5)],
      ['training', round(9, 5)],
    ]);
    const device = (i: number) => (i < 5 ? 'D1' : 'D2');
    const check = findingOf(seriesDataset([{ golfer: 'G01', sessions, device }])).checks.find(
      ({ name }) => name === 'device of G01',
    )!;
    expect(check.outcome).toBe('bad');
    expect(check.words).toContain('D1 before, D2 after');
    const mixed = (i: number) => (i % 2 === 0 || i < 5 ? 'D1' : 'D2');
    expect(
      findingOf(seriesDataset([{ golfer: 'G01', sessions, device: mixed }])).checks.find(
        ({ name }) => name === 'device of G01',
      )!.outcome,
    ).toBe('look');
  });
  it('a golfer who was changing anyway: the trend is named in check and answer', () => {
    const line = (from: number, n: number) =>
      round(0, n, from).map((noise, i) => 0.5 * (from + i) + 0.2 * noise);
    const finding = findingOf(
      seriesDataset([
        {
          golfer: 'G01',
          sessions: phased([
            ['baseline', line(0, 12)],
            ['training', line(12, 12)],
          ]),
        },
      ]),
    );
    const check = finding.checks.find(({ name }) => name === 'trend before the training of G01')!;
    expect(check.outcome).toBe('look');
    expect(check.words).toContain('changing before the training');
    const trend = finding.sensitivity.find(({ name }) => name === 'steady trend')!.estimate!;
    expect(trend.interval[0]! < 0 && 0 < trend.interval[1]!).toBe(true);
    expect(finding.verdict).not.toBe('meaningful');
  });
  it('an unsteady baseline and sessions beyond the limits are named', () => {
    const steady = findingOf(ab(10, 10, 9));
    const chart = steady.checks.find(({ name }) => name === 'chart of G01')!;
    expect(chart.outcome).toBe('good');
    expect(chart.words).toContain('G01-S11');
    expect(steady.tables.sessions[10]!.signals).toContain('beyond-limits');
    const jump = seriesDataset([
      {
        golfer: 'G01',
        sessions: phased([
          ['baseline', [5, 5.1, 5, 5.1, 5, 5.1, 5, 5.1, 5, 9]],
          ['training', round(5, 5)],
        ]),
      },
    ]);
    expect(findingOf(jump).checks.find(({ name }) => name === 'chart of G01')!.outcome).toBe('bad');
  });
});

describe('the plan', () => {
  it('as planned, changed or left open, part by part', () => {
    const dataset = ab(10, 10, 4);
    const parts = (plan: Plan) =>
      Object.fromEntries(
        findingOf(dataset, { plan, golfers: ['G01'] }).planned.parts!.map((one) => [one.part, one.state]),
      );
    expect(parts(PLAN)).toMatchObject({ 'the golfer': 'exploratory', 'the draw': 'exploratory' });
    expect(
      parts({ ...PLAN, series: { golfers: ['G01'], startDrawn: true, leastSessions: 3 } }),
    ).toMatchObject({
      'the golfer': 'as-planned',
      'the draw': 'as-planned',
    });
    expect(parts({ ...PLAN, series: { golfers: ['G02'], startDrawn: false } })).toMatchObject({
      'the golfer': 'changed',
    });
    expect(findingOf(dataset).planned.planned).toBe(false);
  });
  it('takes out what it excludes, with its reason', () => {
    const plan: Plan = {
      ...PLAN,
      exclusions: [{ table: 'sessions', id: 'G01-S2', reason: 'Rain.' }],
    };
    const finding = findingOf(ab(6, 6, 3), { plan });
    expect(finding.design.sessions).toBe(11);
    expect(finding.leftOut.map(({ why }) => why)).toContain('excluded by the plan: Rain.');
    const wrong: Plan = { ...PLAN, exclusions: [{ table: 'sessions', id: 'G09-S2', reason: 'Rain.' }] };
    expect(problemsOf(ab(6, 6, 3), { plan: wrong })[0]!.where).toContain('exclusions');
  });
  it('the same data give the same bytes', () => {
    const once = serialiseFinding(findingOf(ab(9, 9, 2)));
    expect(serialiseFinding(findingOf(ab(9, 9, 2)))).toBe(once);
  });
});
