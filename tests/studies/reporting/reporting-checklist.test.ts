import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { checkPlan, datasetFromRows, loadDataset, loadPlan, type Plan } from '../../../src/dataset/index.ts';
import { drillTrialStudy, type Finding, reportingChecklist, STATEMENTS } from '../../../src/studies/index.ts';

const demo = new URL('../../../synthetic/demo', import.meta.url).pathname;
const loaded = await loadDataset(demo);
const read = await loadPlan(`${demo}/plan.json`);
if (!loaded.valid || !read.valid) throw new Error('the demo roster does not load');
const dataset = loaded.value;
const plan: Plan = read.plan;
const outcome = drillTrialStudy.run(dataset, { plan });
if (!outcome.ok) throw new Error('the demo roster was refused');
const { finding } = outcome;

describe('the reporting checklist', () => {
  it('has the statements that the schema of plans knows, no more and no fewer', () => {
    const schema = JSON.parse(
      readFileSync(new URL('../../../data-schemas/plan.schema.json', import.meta.url), 'utf8'),
    );
    expect(Object.keys(schema.properties.statements.properties)).toEqual(Object.keys(STATEMENTS));
  });

  // CONSORT 2025 has 30 items, TIDieR 12 (counts: shared reference on reporting checklists).
  it('puts the items of CONSORT and TIDieR to a trial', () => {
    const checklist = reportingChecklist({ finding, plan, dataset });
    const of = (guideline: string) => checklist.items.filter((item) => item.guideline === guideline).length;
    expect([of('CONSORT'), of('TIDieR'), of('STROBE'), of('SCRIBE')]).toEqual([30, 12, 0, 0]);
    expect(checklist.stated + checklist.partly + checklist.missing).toBe(42);
  });

  it('says a default smallest change in three digits, a planned one as it was written, and one golfer as one', () => {
    const wordsWith = (from: 'plan' | 'default', value: number) =>
      reportingChecklist({
        finding: {
          ...finding,
          smallestChange: { ...finding.smallestChange!, from, value },
          design: { ...finding.design, arms: finding.design.arms.map((own) => ({ ...own, golfers: 1 })) },
        },
        plan,
        dataset,
      })
        .items.map(({ words }) => words)
        .join(' ');
    expect(wordsWith('default', 0.6631619542551067)).toContain('Judged against 0.663 deg, a stated default.');
    expect(wordsWith('plan', 0.6625)).toContain('Judged against 0.6625 deg, set in the plan.');
    expect(wordsWith('plan', 1)).toContain('drill: 1 golfer');
    expect(wordsWith('plan', 1)).not.toContain('1 golfers');
  });

  it('puts SCRIBE (26 items) to one golfer and STROBE to the rest', () => {
    const count = (study: string, guideline: string) =>
      reportingChecklist({ finding: { ...finding, study }, plan: null, dataset }).items.filter(
        (item) => item.guideline === guideline,
      ).length;
    expect(count('one-golfer', 'SCRIBE')).toBe(26);
    expect(count('one-golfer', 'TIDieR')).toBe(12);
    expect(count('mechanism', 'STROBE')).toBeGreaterThanOrEqual(22);
    expect(count('toString', 'STROBE')).toBeGreaterThanOrEqual(22);
  });

  it('names what is missing and where to write it, and takes it from the plan once it is there', () => {
    const without = reportingChecklist({ finding, plan, dataset });
    const funding = without.items.find((item) => item.key === 'funding');
    expect(funding).toMatchObject({ state: 'missing' });
    expect(funding?.words).toContain('under statements, funding, in the plan');
    expect(without.words).toContain('who paid');
    const told = { ...plan, statements: { funding: 'Nobody paid.' } };
    expect(checkPlan(told).valid).toBe(true);
    const answered = reportingChecklist({ finding, plan: told, dataset });
    expect(answered.items.find((item) => item.key === 'funding')).toMatchObject({
      state: 'stated',
      words: 'From the plan: Nobody paid.',
    });
    expect(answered.missing).toBe(without.missing - 1);
  });

  it('refuses a statement it does not know', () => {
    expect(checkPlan({ ...plan, statements: { fundng: 'x' } }).valid).toBe(false);
  });

  it('says so when all is stated', () => {
    const statements = Object.fromEntries(Object.keys(STATEMENTS).map((key) => [key, 'Told.']));
    const full = {
      ...plan,
      statements,
      stoppingRule: { words: 'Forty golfers, then stop.' },
    };
    const checklist = reportingChecklist({ finding, plan: full, dataset });
    expect(checklist.items.filter((item) => item.state === 'missing')).toEqual([]);
    expect(checklist.words).toMatch(/^All 42 items/);
  });

  it('does not take an exploratory answer for a planned one, nor empty tables for known ones', () => {
    const made = datasetFromRows({
      golfers: [{ golfer_id: 'G01', plays: 'right' }],
      sessions: [{ session_id: 'S1', golfer_id: 'G01', date: '2026-03-04', phase: 'baseline' }],
      swings: [{ swing_id: 'W1', session_id: 'S1', order_in_session: 1, task: 'full', club_speed_mps: 36 }],
    });
    if (!made.valid) throw new Error('refused');
    const bare: Finding = {
      ...finding,
      planned: { planned: false, words: 'No plan.' },
      smallestChange: null,
      estimates: [],
      leftOut: [],
      design: { ...finding.design, arms: [] },
    };
    const checklist = reportingChecklist({ finding: bare, plan: null, dataset: made.value });
    const state = (key: string) => checklist.items.find((item) => item.key === key)?.state;
    expect(['protocol', 'changes', 'delivery', 'size'].map(state)).toEqual(
      Array.from({ length: 4 }, () => 'missing'),
    );
    expect(['objectives', 'baseline', 'estimates', 'groups'].map(state)).toEqual(
      Array.from({ length: 4 }, () => 'partly'),
    );
  });
});
