import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Dataset, datasetFromRows, keepSwings } from '../../../src/dataset/index.ts';
import {
  drillTrialStudy,
  type Finding,
  MOST_SPECIFICATIONS,
  type SpecificationChoice,
  type Study,
  specificationCurve,
  standardChoices,
} from '../../../src/studies/index.ts';
import { trialRows } from '../simulate.ts';

function trial(seed: number): Dataset {
  const rows = trialRows(
    {
      golfersPerArm: 8,
      arms: [
        { arm: 'control', effect: 0 },
        { arm: 'drill', effect: 3 },
      ],
      sessions: 1,
    },
    seed,
  );
  const golfers = rows.golfers.map((golfer, i) => ({ ...golfer, handicap_index: 4 + ((i * 7) % 13) }));
  const made = datasetFromRows({ ...rows, golfers });
  if (!made.valid) throw new Error('the planted trial does not pass its own check');
  return made.value;
}

function asked(dataset: Dataset): Finding {
  const outcome = drillTrialStudy.run(dataset);
  if (!outcome.ok) throw new Error('the planted trial was refused');
  return outcome.finding;
}

/** A study whose estimate is the plain sum of what its options stand for, so that every answer is known. */
function sumStudy(finding: Finding): Pick<Study, 'run'> {
  const worth: Readonly<Record<string, number>> = { handicap_index: 10, height_cm: 20 };
  return {
    run: (_, options) => {
      const value = (options?.covariates ?? []).reduce((sum, name) => sum + (worth[name] ?? 0), 1);
      const [first] = finding.estimates;
      return {
        ok: true,
        finding: {
          ...finding,
          verdict: value > 15 ? 'meaningful' : 'cannot-tell',
          estimates: [{ ...first!, value, interval: [value - 1, value + 1] }],
        },
      };
    },
  };
}

const ADJUSTED: SpecificationChoice = {
  key: 'adjusted',
  words: 'what is adjusted for',
  options: [
    { key: 'none', words: 'nothing' },
    { key: 'handicap', words: 'handicap', options: { covariates: ['handicap_index'] } },
    { key: 'height', words: 'height', options: { covariates: ['height_cm'] } },
  ],
};

describe('the specification curve', () => {
  const dataset = trial(1);
  const finding = asked(dataset);
  const main: Finding = {
    ...finding,
    verdict: 'cannot-tell',
    estimates: [{ ...finding.estimates[0]!, value: 1, interval: [0, 2] }],
  };

  it('asks every combination once, and gives each choice its share of the movement', () => {
    const idle: SpecificationChoice = {
      key: 'idle',
      words: 'what changes nothing',
      options: [
        { key: 'a', words: 'a' },
        { key: 'b', words: 'b' },
      ],
    };
    const curve = specificationCurve(dataset, sumStudy(finding), {}, main, [ADJUSTED, idle]);
    expect(curve.rows.map((row) => row.value)).toEqual([1, 1, 11, 11, 21, 21]);
    expect(new Set(curve.rows.map((row) => JSON.stringify(row.chosen))).size).toBe(6);
    expect(curve.rows.filter((row) => row.asAsked)).toHaveLength(1);
    expect(curve.influences).toEqual([
      {
        choice: 'adjusted',
        spread: 20,
        means: [
          { option: 'none', mean: 1, count: 2 },
          { option: 'handicap', mean: 11, count: 2 },
          { option: 'height', mean: 21, count: 2 },
        ],
      },
      {
        choice: 'idle',
        spread: 0,
        means: [
          { option: 'a', mean: 11, count: 3 },
          { option: 'b', mean: 11, count: 3 },
        ],
      },
    ]);
    expect([curve.answered, curve.sameVerdict]).toEqual([6, 4]);
    expect(curve.words).toContain('the same in 4 of 6 combinations');
    expect(curve.words).toContain('What moves it most is what is adjusted for');
  });

  it('has a place for each combination whatever the choices', () => {
    const option = fc.integer({ min: 1, max: 4 });
    fc.assert(
      fc.property(fc.array(option, { minLength: 1, maxLength: 4 }), (counts) => {
        const choices = counts.map((count, i) => ({
          key: `c${i}`,
          words: `choice ${i}`,
          options: Array.from({ length: count }, (_, k) => ({ key: `o${k}`, words: `option ${k}` })),
        }));
        const curve = specificationCurve(dataset, sumStudy(finding), {}, main, choices);
        const product = counts.reduce((a, b) => a * b, 1);
        expect(new Set(curve.rows.map((row) => JSON.stringify(row.chosen))).size).toBe(product);
        expect(curve.rows).toHaveLength(product);
      }),
      { numRuns: 30 },
    );
  });

  it('keeps a combination that gives no answer, with the reason, and puts it last', () => {
    const study: Pick<Study, 'run'> = {
      run: (data, options) =>
        options?.covariates?.includes('height_cm') === true
          ? { ok: false, problems: [{ where: 'x', found: 'no height', expected: 'y', remedy: 'z' }] }
          : sumStudy(finding).run(data, options),
    };
    const curve = specificationCurve(dataset, study, {}, main, [ADJUSTED]);
    expect(curve.rows.at(-1)).toMatchObject({ value: null, why: 'no height', verdict: null, raw: null });
    expect(curve.answered).toBe(2);
    expect(curve.words).toContain('1 combination gives no estimate');
  });

  it('says that nothing can be said where only one way gives an answer', () => {
    const study: Pick<Study, 'run'> = { run: () => ({ ok: false, problems: [] }) };
    expect(specificationCurve(dataset, study, {}, main, [ADJUSTED]).words).toContain(
      'could be asked in 1 way only',
    );
  });

  it('refuses more combinations than it will ask, and a choice without options', () => {
    const many = Array.from({ length: 10 }, (_, i) => ({
      key: `c${i}`,
      words: 'x',
      options: [
        { key: 'a', words: 'a' },
        { key: 'b', words: 'b' },
      ],
    }));
    expect(() => specificationCurve(dataset, drillTrialStudy, {}, main, many)).toThrow(
      `1024 combinations, of which at most ${MOST_SPECIFICATIONS}`,
    );
    const empty = [{ key: 'none', words: 'x', options: [] }];
    expect(() => specificationCurve(dataset, drillTrialStudy, {}, main, empty)).toThrow(
      "'none' has no option",
    );
  });

  it('gives for a combination what the study gives when it is asked that way itself', () => {
    const choices = standardChoices(dataset, finding.metric.column, drillTrialStudy.covariates ?? []);
    const curve = specificationCurve(dataset, drillTrialStudy, {}, finding, choices);
    const orders = dataset.tables.swings.column('order_in_session');
    const direct = drillTrialStudy.run(
      keepSwings(dataset, (index) => orders[index]! > 2),
      { covariates: ['handicap_index'] },
    );
    const row = curve.rows.find(
      ({ chosen }) => chosen.swings === 'no-warm-up' && chosen.adjusted === 'handicap_index',
    );
    expect(direct.ok && direct.finding.estimates[0]!.value).toBe(row?.raw?.value);
    expect(direct.ok && direct.finding.model.words).toContain('Adjusted for handicap.');
  });

  it('turns a rival metric round where more of it means less, and measures all by what matters', () => {
    const rows = trialRows(
      {
        golfersPerArm: 8,
        arms: [
          { arm: 'control', effect: 0 },
          { arm: 'drill', effect: 3 },
        ],
      },
      2,
    );
    // Static loft less lean: the same truth with the sign turned.
    const swings = rows.swings.map((swing) => ({
      ...swing,
      dynamic_loft_deg: 34 - (swing.shaft_lean_impact_deg ?? 0),
    }));
    const made = datasetFromRows({ ...rows, swings });
    if (!made.valid) throw new Error('refused');
    const own = asked(made.value);
    const choices = standardChoices(made.value, own.metric.column, []).filter(({ key }) => key === 'metric');
    const curve = specificationCurve(made.value, drillTrialStudy, {}, own, choices);
    expect(curve.scale.kind).toBe('smallest-change');
    const [first, second] = curve.rows;
    expect(first!.value).toBeCloseTo(second!.value!, 6);
    expect(first!.value).toBeGreaterThan(0);
    expect(first!.raw!.value! * second!.raw!.value!).toBeLessThan(0);
  });

  it('counts no rule that leaves nothing out, and no adjustment for what is the same for everybody', () => {
    const choices = standardChoices(dataset, finding.metric.column, ['device', 'handicap_index']);
    expect(choices.find(({ key }) => key === 'adjusted')?.options.map(({ key }) => key)).toEqual([
      'none',
      'handicap_index',
    ]);
    expect(choices.find(({ key }) => key === 'swings')?.options.map(({ key }) => key)).not.toContain(
      'full-sessions',
    );
  });
});

describe('adjusting a drill trial', () => {
  it('refuses in words what cannot be adjusted for', () => {
    const rows = trialRows(
      {
        golfersPerArm: 6,
        arms: [
          { arm: 'control', effect: 0 },
          { arm: 'drill', effect: 3 },
        ],
      },
      3,
    );
    const golfers = rows.golfers.map((golfer, i) => ({
      ...golfer,
      ...(i === 0 ? {} : { handicap_index: i }),
    }));
    const sessions = rows.sessions.map((session) => ({ ...session, surface: 'mat' }));
    const made = datasetFromRows({ ...rows, golfers, sessions });
    if (!made.valid) throw new Error('refused');
    const outcome = drillTrialStudy.run(made.value, { covariates: ['handicap_index', 'surface'] });
    expect(outcome.ok ? [] : outcome.problems.map((problem) => problem.found)).toEqual([
      'no handicap for 1 golfer in the trial',
      'one surface for everybody',
    ]);
  });

  it('is done where the plan asks for it, and said to be as planned', () => {
    const plan = {
      study: 'drill-trial',
      question: 'Did it help?',
      metric: { column: 'shaft_lean_impact_deg' },
      model: { covariates: ['handicap_index'] },
    } as const;
    const outcome = drillTrialStudy.run(trial(4), { plan });
    if (!outcome.ok) throw new Error('refused');
    expect(outcome.finding.model.words).toContain('Adjusted for handicap.');
    const direct = drillTrialStudy.run(trial(4), { covariates: ['handicap_index'] });
    expect(direct.ok && direct.finding.estimates[0]!.value).toBe(outcome.finding.estimates[0]!.value);
    const part = outcome.finding.planned.parts?.find((own) => own.part.includes('adjust'));
    expect(part?.state).toBe('as-planned');
  });
});
