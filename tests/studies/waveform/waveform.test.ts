import { describe, expect, it } from 'vitest';
import { type CurveSet, checkPlan, datasetFromRows, readCurves } from '../../../src/dataset/index.ts';
import { type StudyOptions, serialiseFinding, waveform } from '../../../src/studies/index.ts';
import { generateCohort, loadRecipe } from '../../../src/synthetic/index.ts';
import { datasetOf } from '../simulate.ts';
import { type CurveTruth, curveRoster } from './curves.ts';

const TWO_ARMS: CurveTruth = {
  golfersPerArm: 10,
  arms: [
    { arm: 'control', height: 0 },
    { arm: 'drill', height: -8 },
  ],
};

function ask(truth: CurveTruth, seed = 1, options: StudyOptions = {}) {
  const { dataset, curves } = curveRoster(truth, seed);
  return waveform(dataset, { curves, ...options });
}

function answered(truth: CurveTruth, seed = 1, options: StudyOptions = {}) {
  const outcome = ask(truth, seed, options);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.finding;
}

function refusal(outcome: ReturnType<typeof waveform>) {
  if (outcome.ok) throw new Error(`expected a refusal, got: ${outcome.finding.answer}`);
  return outcome.problems;
}

const PLAN = {
  study: 'waveform' as const,
  question: 'Does the elbow straighten earlier?',
  metric: { column: 'trail_elbow_flexion' as never },
  smallestChangeThatMatters: { value: 2, why: 'a coach sees it' },
};

describe('the study of curves', () => {
  it('finds a planted window between two arms, in the right place and direction', () => {
    const finding = answered(TWO_ARMS);
    const { windows } = finding.tables;
    expect(finding.design.kind).toBe('two arms, by how much each golfer changed');
    expect(windows).toHaveLength(1);
    // Planted from 50 to 80 with the peak at 65; its flanks are too low to be seen.
    expect(windows[0]!.from).toBeGreaterThanOrEqual(48);
    expect(windows[0]!.to).toBeLessThanOrEqual(82);
    expect(Math.abs(windows[0]!.peakAt - 65)).toBeLessThanOrEqual(3);
    const [first] = finding.estimates;
    expect(first!.value).toBeLessThan(0);
    expect(first!.interval[0]).toBeLessThan(-8);
    expect(first!.interval[1]).toBeGreaterThan(-8);
    expect(finding.verdict).toBe('meaningful');
    expect(finding.leftOut).toEqual([]);
  });

  it('recovers the window that the recipe plants', async () => {
    const loaded = await loadRecipe('waveform-window');
    if (!loaded.valid) throw new Error('no recipe');
    const { tables, curves, truth } = generateCohort(loaded.recipe, 5);
    const checked = datasetFromRows(tables);
    if (!checked.valid) throw new Error('no dataset');
    const time_pct = Float64Array.from({ length: 101 }, (_, pct) => pct);
    const set: CurveSet = {
      curves: curves.map(({ swing_id, quantity, values }) => ({
        swing: swing_id,
        quantity,
        time_pct,
        values,
      })),
      instants: new Map(),
      files: [],
    };
    const outcome = waveform(checked.value, { curves: set, metric: 'trail_elbow_flexion' });
    if (!outcome.ok) throw new Error('refused');
    const planted = (
      truth as unknown as {
        curves: {
          quantity: string;
          peakPct: number;
          fromPct: number;
          toPct: number;
          peakDifference_deg: number;
        }[];
      }
    ).curves.find(({ quantity }) => quantity === 'trail_elbow_flexion')!;
    const [window, ...others] = outcome.finding.tables.windows;
    expect(others).toEqual([]);
    expect(Math.abs(window!.peakAt - planted.peakPct)).toBeLessThanOrEqual(3);
    expect(window!.from).toBeGreaterThanOrEqual(planted.fromPct);
    expect(window!.to).toBeLessThanOrEqual(planted.toPct);
    const node = outcome.finding.tables.nodes[planted.peakPct]!;
    expect(node.low!).toBeLessThan(planted.peakDifference_deg);
    expect(node.high!).toBeGreaterThan(planted.peakDifference_deg);
  });

  it('finds nothing where nothing is, and says how much the data still allow', () => {
    const finding = answered({ ...TWO_ARMS, arms: TWO_ARMS.arms.map(({ arm }) => ({ arm, height: 0 })) }, 3, {
      plan: PLAN,
    });
    expect(finding.tables.windows).toEqual([]);
    expect(finding.verdict).toBe('cannot-tell');
    expect(finding.answer).toMatch(/^No stretch of the downswing was found/);
  });

  it('says too small to matter where the whole band is within the smallest difference', () => {
    const finding = answered(
      {
        ...TWO_ARMS,
        arms: TWO_ARMS.arms.map(({ arm }) => ({ arm, height: 0 })),
        swingSd: 0.1,
        changeSd: 0.3,
      },
      4,
      { plan: PLAN },
    );
    expect(finding.verdict).toBe('too-small-to-matter');
  });

  it('knows the direction that a plan calls good', () => {
    expect(answered(TWO_ARMS, 1, { plan: { ...PLAN, goodDirection: -1 } }).verdict).toBe('meaningful');
    expect(answered(TWO_ARMS, 1, { plan: { ...PLAN, goodDirection: 1 } }).verdict).toBe('opposite');
  });

  it('compares before with after in one arm, with the warning that earns', () => {
    const finding = answered({ golfersPerArm: 9, arms: [{ arm: 'drill', height: 6 }] }, 2);
    expect(finding.design.kind).toBe('the same golfers before and after');
    expect(finding.estimates[0]!.degreesOfFreedom).toBe(8);
    expect(finding.answer).toMatch(/Without a control group this is a change/);
    expect(finding.warnings.join(' ')).toMatch(/Without a control group/);
    expect(finding.tables.methods.exact).toBe(true);
    expect(finding.tables.methods.arrangements).toBe(256);
  });

  it('takes the arm that is asked about where before and after of a trial are asked for', () => {
    const finding = answered(TWO_ARMS, 1, { compare: 'before-after' });
    expect(finding.design.golfers).toBe(10);
    expect(finding.leftOut.map(({ why }) => why)).toContain("a golfer who is not in 'drill'");
    expect(finding.leftOut.reduce((sum, { count }) => sum + count, 0) + finding.design.swings).toBe(120);
  });

  it('goes with a number of the golfer, per SD', () => {
    const finding = answered(
      {
        golfersPerArm: 16,
        arms: [{ arm: 'x', height: 0 }],
        assigned: false,
        perHeight: 0.8,
        golferSd: 1.5,
        phases: ['baseline'],
      },
      5,
      { by: 'height_cm' },
    );
    expect(finding.design.kind).toBe('golfers by a number of theirs');
    expect(finding.tables.windows).toHaveLength(1);
    expect(Math.abs(finding.tables.windows[0]!.peakAt - 65)).toBeLessThanOrEqual(4);
    expect(finding.question).toMatch(/go with height/);
  });

  it('gives the same whatever the swings of a golfer are multiplied by: golfers count, not swings', () => {
    const few = answered({ ...TWO_ARMS, swings: 2, swingSd: 0 });
    const many = answered({ ...TWO_ARMS, swings: 8, swingSd: 0 });
    expect(many.design.swings).toBe(4 * few.design.swings);
    expect(many.estimates[0]!.degreesOfFreedom).toBe(few.estimates[0]!.degreesOfFreedom);
    // Only the waves of golfers are left, which draw alike for both but for later numbers of the stream.
    expect(many.estimates[0]!.degreesOfFreedom).toBe(18);
  });

  it('tells timing from size by registration', () => {
    // The same curve, run through later after the drill: nothing but the timing of instants differs.
    const later = (arm: string, phase: string) => (arm === 'drill' && phase === 'post' ? 8 : 0);
    const truth: CurveTruth = {
      ...TWO_ARMS,
      arms: TWO_ARMS.arms.map(({ arm }) => ({ arm, height: 0 })),
      changeSd: 0.2,
      swingSd: 0.2,
      instants: (arm, phase, swing) => ({
        'lead arm parallel': 45 + later(arm, phase) + (swing % 3),
        delivery: 75 + (swing % 2),
      }),
    };
    const { dataset, curves } = curveRoster(truth, 6);
    const armOf = new Map(
      dataset.tables.assignments
        .column('golfer_id')
        .map((id, i) => [id, dataset.tables.assignments.column('arm')[i]]),
    );
    const shifted: CurveSet = {
      ...curves,
      curves: curves.curves.map((curve) => {
        const [golfer, phase] = curve.swing.split('-') as [string, string];
        const moved = later(armOf.get(golfer) ?? '', phase);
        const own = (pct: number) =>
          pct <= 45 + moved ? (pct * 45) / (45 + moved) : 45 + ((pct - 45 - moved) * 30) / (30 - moved);
        return {
          ...curve,
          values: curve.values.map((value, i) => {
            const pct = curve.time_pct[i]!;
            return value + 0.6 * pct - 0.6 * (pct >= 75 ? pct : own(pct));
          }),
        };
      }),
    };
    const percent = waveform(dataset, { curves: shifted, timeAxis: 'percent' });
    const registered = waveform(dataset, { curves: shifted });
    if (!percent.ok || !registered.ok) throw new Error('refused');
    expect(percent.finding.tables.windows.length).toBeGreaterThan(0);
    expect(registered.finding.tables.axis.kind).toBe('registered');
    const reach = (nodes: readonly { difference: number }[]) =>
      Math.max(...nodes.map(({ difference }) => Math.abs(difference)));
    expect(reach(registered.finding.tables.nodes)).toBeLessThan(0.4 * reach(percent.finding.tables.nodes));
    const [arm] = registered.finding.tables.timing;
    expect(arm!.instant).toBe('lead arm parallel');
    expect(arm!.difference).toBeCloseTo(8, 6);
    expect(registered.finding.model.words).toMatch(/registered first/);
    expect(registered.finding.sensitivity.map(({ name }) => name)).toContain(
      'time in per cent of the downswing',
    );
  });

  it('lays curves out before impact in milliseconds', () => {
    const finding = answered(TWO_ARMS, 1, { timeAxis: 'milliseconds' });
    expect(finding.tables.axis.unit).toBe('ms');
    expect(finding.tables.nodes.at(-1)!.time).toBe(0);
    expect(finding.answer).toMatch(/ms before impact/);
  });

  it('gives the same bytes for the same inputs, and no number that is not finite', () => {
    const [one, two] = [serialiseFinding(answered(TWO_ARMS)), serialiseFinding(answered(TWO_ARMS))];
    expect(one).toBe(two);
    expect(one).not.toMatch(/NaN|Infinity/);
    expect(answered(TWO_ARMS, 1, { seed: 9 }).provenance.seed).toBe(9);
    expect(answered(TWO_ARMS).provenance.inputs.map(({ file }) => file)).toContain('curves.csv');
  });
});

describe('a plan about curves', () => {
  it('names a quantity of the curves, and only for this study', () => {
    expect(checkPlan(PLAN).valid).toBe(true);
    expect(checkPlan({ ...PLAN, study: 'drill-trial' }).valid).toBe(false);
    const wrong = checkPlan({ ...PLAN, metric: { column: 'lag' } });
    expect(wrong.valid ? '' : wrong.problems[0]!.expected).toMatch(
      /^a quantity of curves.csv: trail_elbow_flexion/,
    );
  });
});

describe('data that cannot answer', () => {
  it('says cannot tell where there are too few golfers to rearrange', () => {
    const finding = answered({ golfersPerArm: 4, arms: [{ arm: 'drill', height: 6 }] });
    expect(finding.verdict).toBe('cannot-tell');
    expect(finding.estimates[0]!.interval).toEqual([null, null]);
    expect(finding.answer).toMatch(/Cannot tell: 4 golfers can be rearranged in only 8 ways/);
    expect(serialiseFinding(finding)).not.toMatch(/NaN|Infinity/);
  });

  it.each<[string, CurveTruth, StudyOptions, RegExp]>([
    ['no curves', TWO_ARMS, { curves: null }, /no curve/],
    ['an unknown quantity', TWO_ARMS, { metric: 'lag_angle' }, /'lag_angle', of which there is no curve/],
    ['one golfer', { golfersPerArm: 1, arms: [{ arm: 'drill', height: 1 }] }, {}, /one golfer with curves/],
    ['one phase', { ...TWO_ARMS, phases: ['baseline'] }, {}, /no golfer with curves after/],
    [
      'one session, no arms',
      { golfersPerArm: 6, arms: [{ arm: 'x', height: 0 }], assigned: false, phases: ['post'] },
      {},
      /no golfer with curves before/,
    ],
    [
      'arms where there is one',
      { golfersPerArm: 6, arms: [{ arm: 'drill', height: 0 }] },
      { compare: 'arms-change' },
      /one arm, drill/,
    ],
    [
      'arms where there are none',
      { golfersPerArm: 6, arms: [{ arm: 'x', height: 0 }], assigned: false },
      { compare: 'arms-after' },
      /no golfer assigned/,
    ],
    [
      'three arms',
      { ...TWO_ARMS, arms: [...TWO_ARMS.arms, { arm: 'towel', height: 1 }] },
      {},
      /the arms control, drill, towel/,
    ],
    ['no number', TWO_ARMS, { compare: 'by-number' }, /no number/],
    ['a number of another comparison', TWO_ARMS, { compare: 'arms-after', by: 'height_cm' }, /together with/],
    ['an unknown number', TWO_ARMS, { by: 'shoe_size' }, /"shoe_size"/],
    ['a number that nobody has', TWO_ARMS, { by: 'club_speed_mps' }, /no golfer with curves/],
    [
      'curves that are all alike',
      {
        ...TWO_ARMS,
        golferSd: 0,
        changeSd: 0,
        swingSd: 0,
        arms: TWO_ARMS.arms.map(({ arm }) => ({ arm, height: 0 })),
      },
      {},
      /exactly alike/,
    ],
    ['no downswing_ms', { ...TWO_ARMS, downswing_ms: false }, { timeAxis: 'milliseconds' }, /downswing_ms/],
    ['no instants', TWO_ARMS, { timeAxis: 'registered' }, /no instant/],
  ])('refuses in words: %s', (_, truth, options, found) => {
    const problems = refusal(ask(truth, 1, options));
    expect(problems.map((problem) => `${problem.where} ${problem.found}`).join('; ')).toMatch(found);
    for (const { expected, remedy } of problems) expect(expected.length * remedy.length).toBeGreaterThan(0);
  });

  it('leaves out curves with gaps or short of impact, and golfers in two arms are refused', () => {
    const { dataset, curves, rows } = curveRoster(TWO_ARMS, 1);
    const broken: CurveSet = {
      ...curves,
      curves: curves.curves.map((curve, k) =>
        k === 0
          ? { ...curve, values: curve.values.map((value, i) => (i > 10 && i < 16 ? Number.NaN : value)) }
          : k === 1
            ? { ...curve, time_pct: curve.time_pct.slice(0, 40), values: curve.values.slice(0, 40) }
            : curve,
      ),
    };
    const outcome = waveform(dataset, { curves: broken });
    if (!outcome.ok) throw new Error('refused');
    expect(outcome.finding.leftOut.map(({ ids, why }) => [ids, why])).toEqual([
      [['G001-baseline-1'], 'the curve has a gap of more than 6% of the downswing'],
      [['G001-baseline-2'], 'the curve does not reach from top to impact'],
    ]);
    const stranger: CurveSet = {
      ...curves,
      curves: [...curves.curves, { ...curves.curves[0]!, swing: 'nobody' }],
    };
    expect(refusal(waveform(dataset, { curves: stranger }))[0]!.found).toBe('the swing nobody');
    const moved = datasetOf({
      ...rows,
      assignments: [
        ...rows.assignments,
        { golfer_id: 'G001', trial_id: 'T1', arm: 'drill', assigned_on: '2026-04-01' },
      ],
    } as never);
    expect(refusal(waveform(moved, { curves }))[0]!.found).toMatch(/more than one arm: G001/);
  });
});

describe('curves.csv', () => {
  const read = (text: string) => readCurves(new TextEncoder().encode(text));
  const HEAD = 'swing_id,quantity,time_pct,value_deg\n';

  it('is read curve by curve, missing samples and all', () => {
    const outcome = read(
      `${HEAD}S1,lag_angle,0,80\nS2,lag_angle,0,81\nS1,lag_angle,50,\nS1,lag_angle,100,10\n`,
    );
    if (!outcome.ok) throw new Error('refused');
    expect(outcome.curves.map(({ swing, values }) => [swing, ...values])).toEqual([
      ['S1', 80, Number.NaN, 10],
      ['S2', 81],
    ]);
  });

  it('names every fault at once, with its line', () => {
    const outcome = read(
      `${HEAD}S1,lag_angle,0,80\nS1,lag_angle,0,81\nS1,lag_angle,20,81\nS1,lag_angle,10,x\n,lag_angle,1,2\nS1,lagg,30,2\nS1,lag_angle,130,2\nS1,lag_angle,soon,2\n`,
    );
    if (outcome.ok) throw new Error('read');
    expect(outcome.problems.map(({ row, column, kind }) => [row, column, kind])).toEqual([
      [3, 'time_pct', 'duplicate-key'],
      [5, 'value_deg', 'not-a-number'],
      [6, 'swing_id', 'missing-value'],
      [7, 'quantity', 'not-allowed'],
      [8, 'time_pct', 'out-of-range'],
      [9, 'time_pct', 'not-a-number'],
    ]);
    expect(outcome.problems[3]!.remedy).toMatch(/lag_angle|one of these/);
  });

  it('wants its columns and rows that rise', () => {
    const missing = read('swing_id,time_pct\nS1,0\n');
    expect(missing.ok ? [] : missing.problems.map(({ column }) => column)).toEqual(['quantity', 'value_deg']);
    const ragged = read(`${HEAD}S1,lag_angle,0\n`);
    expect(ragged.ok ? '' : ragged.problems[0]!.kind).toBe('ragged-row');
    const unsorted = read(`${HEAD}S1,lag_angle,20,81\nS1,lag_angle,10,80\n`);
    expect(unsorted.ok ? '' : unsorted.problems[0]!.remedy).toMatch(/Sort/);
  });
});
