/** The JSON document in, the result document out: keys, names, and what text columns turn into. */
import { describe, expect, it } from 'vitest';
import { createStream } from '../../../src/numerics/index.ts';
import { type DataColumns, type DocumentFit, type FitResult, fitDocument } from '../../../src/stats/index.ts';

/** Columns as a CSV reader hands them over: text, with gaps. */
function table(): DataColumns {
  const stream = createStream(77, 'document');
  const rows = Array.from({ length: 120 }, (_, i) => {
    const golfer = `G${String(Math.floor(i / 10) + 1).padStart(2, '0')}`;
    const phase = i % 10 < 5 ? 'baseline' : 'post';
    return {
      golfer,
      instructor: `I${(Math.floor(i / 10) % 3) + 1}`,
      phase,
      arm: Math.floor(i / 10) % 2 === 0 ? 'drill' : 'control',
      speed: (40 + stream.normal()).toFixed(3),
      lean: (5 + Math.floor(i / 10) * 0.4 + (phase === 'post' ? 1 : 0) + stream.normal()).toFixed(3),
    };
  });
  const columns: Record<string, (string | null)[]> = {};
  for (const name of ['golfer', 'instructor', 'phase', 'arm', 'speed', 'lean'] as const)
    columns[name] = rows.map((row) => row[name]);
  columns.speed![2] = '';
  columns.lean![7] = 'NA';
  columns.arm![7] = null;
  return columns;
}

function resultOf(fit: DocumentFit): FitResult {
  if (!fit.ok) throw new Error(JSON.stringify(fit.problems));
  return fit.result;
}

const model = {
  outcome: 'lean',
  distribution: 'normal',
  fixed: [
    'intercept',
    { column: 'phase', levels: ['baseline', 'post'], coding: 'reference' },
    { product: ['phase', 'arm'] },
    { column: 'speed', within: 'golfer' },
    { column: 'speed', between: 'golfer' },
    { column: 'speed', power: 2 },
  ],
  random: [
    { group: 'instructor', effects: ['intercept'] },
    {
      group: ['instructor', 'golfer'],
      effects: ['intercept', { column: 'phase', level: 'post' }],
      covariance: 'diagonal',
    },
  ],
  criterion: 'reml',
  inference: { degreesOfFreedom: 'satterthwaite', level: 0.9 },
};

describe('fitDocument', () => {
  const data = table();
  const result = resultOf(fitDocument(model, data, { predict: true }));

  it('names terms, groups and effects as the contract says', () => {
    expect(result.fixed.map(({ term }) => term)).toEqual([
      'intercept',
      'phase=post',
      'phase=post x arm=drill',
      'speed within golfer',
      'speed between golfer',
      'speed^2',
    ]);
    expect(result.tests.map(({ effect }) => effect)).toEqual([
      'phase',
      'phase x arm',
      'speed within golfer',
      'speed between golfer',
      'speed^2',
    ]);
    expect(result.groups).toEqual({ instructor: 3, 'instructor / golfer': 12 });
    expect(result.random.map(({ group, effects }) => [group, effects])).toEqual([
      ['instructor', ['intercept']],
      ['instructor / golfer', ['intercept', 'phase=post']],
    ]);
  });

  it('lists rows left out by their number, with every reason', () => {
    expect(result.observations).toBe(118);
    expect(result.leftOut).toEqual([
      { row: 3, why: 'speed is missing' },
      { row: 8, why: 'lean is missing; arm is missing' },
    ]);
  });

  it('notes how the levels of a factor were ordered when the model does not say', () => {
    expect(result.diagnosis.notes).toContain(
      'The levels of arm were taken in the order of their names: control, drill.',
    );
  });

  it('holds exactly the keys of the contract, predictions only when asked for', () => {
    const keys = [
      'observations',
      'groups',
      'leftOut',
      'fixed',
      'covariance',
      'random',
      'residualSd',
      'logLikelihood',
      'criterion',
      'aic',
      'bic',
      'tests',
      'diagnosis',
    ];
    expect(Object.keys(resultOf(fitDocument(model, data, { predict: false })))).toEqual(keys);
    expect(Object.keys(result).sort()).toEqual([...keys, 'predictions'].sort());
    expect(Object.keys(result.fixed[0]!)).toEqual([
      'term',
      'estimate',
      'standardError',
      'degreesOfFreedom',
      'statistic',
      'pValue',
      'interval',
    ]);
    expect(result.predictions!.map(({ group, level }) => `${group}: ${level}`)).toContain(
      'instructor / golfer: I1 / G04',
    );
    expect(result.predictions).toHaveLength(3 + 12);
  });

  it('survives the trip through JSON', () => {
    expect(JSON.parse(JSON.stringify(result))).toEqual(result);
  });

  it('numbers and booleans do as well as text', () => {
    const numeric = {
      ...data,
      speed: Array.from(data.speed!, (v) => (v === '' || v === null ? Number.NaN : Number(v))),
      lean: Array.from(data.lean!, (v) => (v === 'NA' || v === null ? null : Number(v))),
    };
    expect(resultOf(fitDocument(model, numeric, { predict: true }))).toEqual(result);
    const asked = { outcome: 'lean', fixed: ['intercept', { column: 'late' }] };
    const late = Array.from(data.phase!, (phase) => phase === 'post');
    const coded = Array.from(late, Number);
    const byTruth = resultOf(fitDocument(asked, { ...data, late }, { predict: false }));
    expect(byTruth).toEqual(resultOf(fitDocument(asked, { ...data, late: coded }, { predict: false })));
  });

  it('an interval of a lower level is the same estimate, narrower', () => {
    const wide = resultOf(
      fitDocument({ ...model, inference: { ...model.inference, level: 0.99 } }, data, { predict: false }),
    );
    wide.fixed.forEach((term, i) => {
      expect(term.estimate).toBe(result.fixed[i]!.estimate);
      expect(term.interval[0]).toBeLessThan(result.fixed[i]!.interval[0]);
      expect(term.interval[1]).toBeGreaterThan(result.fixed[i]!.interval[1]);
    });
  });

  it('residual and normal degrees of freedom', () => {
    const by = (degreesOfFreedom: string) =>
      resultOf(fitDocument({ ...model, inference: { degreesOfFreedom } }, data, { predict: false }));
    const residual = by('residual');
    const normal = by('normal');
    expect(residual.fixed.every(({ degreesOfFreedom }) => degreesOfFreedom === 118 - 6)).toBe(true);
    expect(residual.tests.every(({ denominatorDf }) => denominatorDf === 112)).toBe(true);
    normal.fixed.forEach((term, i) => {
      expect(term.degreesOfFreedom).toBeNull();
      expect(term.pValue).toBeLessThan(residual.fixed[i]!.pValue);
      // 1.959963984540054 is the 0.975 quantile of the normal distribution.
      expect((term.interval[1] - term.estimate) / term.standardError).toBeCloseTo(1.959963984540054, 9);
    });
    expect(normal.tests.every(({ denominatorDf }) => denominatorDf === null)).toBe(true);
    // One column: the joint test is the square of the single one.
    expect(normal.tests[2]!.pValue).toBeCloseTo(normal.fixed[3]!.pValue, 12);
  });

  it('a group that is also a fixed factor leaves its variance without data, and that is said', () => {
    const asked = {
      outcome: 'lean',
      fixed: ['intercept', { column: 'phase' }],
      random: [
        { group: 'phase', effects: ['intercept'] },
        { group: 'golfer', effects: ['intercept'] },
      ],
    };
    const outcome = fitDocument(asked, data, { predict: false });
    expect(outcome.ok ? [] : outcome.problems.map(({ kind, where }) => `${kind} ${where}`)).toEqual([
      'too-many-effects /random',
    ]);
  });

  it('a column may be a factor in one term and a number or a group in another', () => {
    const weeks = Array.from({ length: 120 }, (_, i) => (i % 4) + 1);
    const both = resultOf(
      fitDocument(
        {
          outcome: 'lean',
          fixed: [
            'intercept',
            { column: 'week', levels: ['1', '2', '3', '4'] },
            { column: 'speed', within: 'week' },
          ],
          random: [{ group: 'golfer', effects: ['intercept'] }],
        },
        { ...data, week: weeks },
        { predict: false },
      ),
    );
    expect(both.fixed.at(-1)!.term).toBe('speed within week');
    const [problem] = (
      fitDocument(
        {
          outcome: 'lean',
          fixed: [
            'intercept',
            { column: 'week', levels: ['1', '2', '3', '4'] },
            { column: 'week', power: 2 },
          ],
        },
        { ...data, week: weeks },
        { predict: false },
      ) as Extract<DocumentFit, { ok: false }>
    ).problems;
    expect(problem!.kind).toBe('collinear');
    expect(problem!.found).toMatch(/^week\^2, which can be computed from intercept, week=2, week=3, week=4$/);
  });
});
