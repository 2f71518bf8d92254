import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { checkPlan, loadPlan, type Plan, sha256Hex } from '../../src/dataset/index.ts';
import { inTempFolder } from './roster.ts';

/** Every property there is: the type and the schema must agree that this is a plan. */
const FULL: Required<Plan> = {
  $schema: 'plan.schema.json',
  study: 'drill-trial',
  question: 'Does the towel drill lean the shaft further forward?',
  metric: {
    column: 'shaft_lean_impact_deg',
    version: '1',
    why: 'It is what the drill is meant to change.',
  },
  trial_id: 'T1',
  design: 'parallel',
  arms: { control: 'usual', drill: ['towel'] },
  smallestChangeThatMatters: { value: 2, why: 'Less cannot be seen in the strike.' },
  goodDirection: 1,
  phases: { before: 'baseline', after: 'post', retention: 'retention' },
  series: {
    golfers: ['G01', 'G02'],
    startDrawn: true,
    leastSessions: 3,
    startWindows: [
      [4, 6],
      [8, 10],
    ],
    golfersDrawn: true,
  },
  exclusions: [{ table: 'swings', id: 'W7', reason: 'The marker fell off.' }],
  exclusionRules: [
    { table: 'swings', column: 'club_speed_mps', below: 20, reason: 'The swing was stopped.' },
    { table: 'swings', column: 'club_speed_mps', above: 60, reason: 'The radar read something else.' },
    { table: 'sessions', column: 'surface', is: 'mat', reason: 'Asked of grass.' },
    { table: 'swings', column: 'ground_first', is: true, reason: 'The club met the ground first.' },
    { table: 'golfers', column: 'handicap_index', missing: true, reason: 'Cannot be put in a stratum.' },
  ],
  stoppingRule: {
    words: 'After the post session of the last of 40 golfers; nobody looks before.',
    golfers: 40,
    sessionsPerPhase: 1,
    swingsPerSession: 12,
    lastDate: '2028-02-29',
  },
  choices: [
    {
      of: 'definition',
      taken: 'the plane of the target line',
      instead: ['the camera plane'],
      why: 'So taught.',
    },
  ],
  statements: { background: 'As agreed.' },
  seed: 7,
  level: 0.95,
  model: { degreesOfFreedom: 'kenward-roger', words: 'A mixed model.', covariates: ['handicap_index'] },
};
const LEAST: Plan = { study: 'drill-trial', question: 'Did it help?', metric: { column: 'club_speed_mps' } };

describe('a plan', () => {
  it('may say everything, or only what is needed', () => {
    expect(checkPlan(FULL)).toEqual({ valid: true, plan: FULL, problems: [] });
    expect(checkPlan(LEAST).valid).toBe(true);
  });

  it.each<[string, unknown, string, string, string]>([
    ['no question', { study: 'drill-trial', metric: LEAST.metric }, '/question', 'nothing', 'Add "question"'],
    [
      'a study there is not',
      { ...LEAST, study: 'drill-trail' },
      '/study',
      '"drill-trail"',
      'Write drill-trial',
    ],
    [
      'a metric without its unit',
      { ...LEAST, metric: { column: 'club_speed' } },
      '/metric/column',
      '"club_speed"',
      'Write club_speed_mps',
    ],
    [
      'a metric that is inherited by every object',
      { ...LEAST, metric: { column: 'constructor' } },
      '/metric/column',
      '"constructor"',
      'Use one of these columns',
    ],
    ['a property nothing reads', { ...LEAST, levle: 0.9 }, '/levle', '"levle"', 'Write "level"'],
    ['a level in per cent', { ...LEAST, level: 95 }, '/level', '95', 'Correct'],
    [
      'a change of nothing',
      { ...LEAST, smallestChangeThatMatters: { value: 0, why: 'x' } },
      '/smallestChangeThatMatters/value',
      '0',
      'Correct',
    ],
    [
      'a change without a reason',
      { ...LEAST, smallestChangeThatMatters: { value: 1 } },
      '/smallestChangeThatMatters/why',
      'nothing',
      'Add "why"',
    ],
    ['a direction that is none', { ...LEAST, goodDirection: 2 }, '/goodDirection', '2', 'Use one of these'],
    [
      'an exclusion without a reason',
      { ...LEAST, exclusions: [{ table: 'swings', id: 'W1' }] },
      '/exclusions/0/reason',
      'nothing',
      'Add "reason"',
    ],
    ['no drill arm', { ...LEAST, arms: { control: 'a', drill: [] } }, '/arms/drill', '[]', 'Correct'],
    [
      'the control among the drills',
      { ...LEAST, arms: { control: 'a', drill: ['b', 'a'] } },
      '/arms/drill',
      '"a"',
      'Take a out',
    ],
    [
      'parallel groups without a control',
      { ...LEAST, design: 'parallel', arms: { drill: ['a'] } },
      '/arms/control',
      'nothing',
      'Name the control arm',
    ],
    [
      'before and after the same',
      { ...LEAST, phases: { before: 'post', after: 'post' } },
      '/phases',
      'post, post',
      'Name each phase once',
    ],
    [
      'a rule about a column there is not',
      { ...LEAST, exclusionRules: [{ table: 'sessions', column: 'surfcae', is: 'mat', reason: 'x' }] },
      '/exclusionRules/0/column',
      '"surfcae"',
      'Write surface',
    ],
    [
      'a rule without a test',
      { ...LEAST, exclusionRules: [{ table: 'sessions', column: 'surface', reason: 'x' }] },
      '/exclusionRules/0',
      'no test of the value',
      'rule of its own',
    ],
    [
      'a rule with two tests',
      {
        ...LEAST,
        exclusionRules: [{ table: 'swings', column: 'club_speed_mps', below: 1, above: 9, reason: 'x' }],
      },
      '/exclusionRules/0',
      'below and above',
      'rule of its own',
    ],
    [
      'a rule that holds a number against a text',
      { ...LEAST, exclusionRules: [{ table: 'sessions', column: 'surface', below: 1, reason: 'x' }] },
      '/exclusionRules/0/below',
      '1',
      'Correct the value',
    ],
    [
      'a rule that holds a text against yes or no',
      { ...LEAST, exclusionRules: [{ table: 'swings', column: 'ground_first', is: 'yes', reason: 'x' }] },
      '/exclusionRules/0/is',
      '"yes"',
      'Correct the value',
    ],
    [
      'a day that is in no calendar',
      { ...LEAST, stoppingRule: { words: 'x', lastDate: '2027-02-29' } },
      '/stoppingRule/lastDate',
      '"2027-02-29"',
      'Correct the date',
    ],
    ['no plan at all', [], '', '[]', 'Correct'],
  ])('refuses %s', (_what, plan, where, found, remedy) => {
    const checked = checkPlan(plan);
    expect(checked.valid).toBe(false);
    expect(checked.problems).toHaveLength(1);
    expect(checked.problems[0]).toMatchObject({ where, found });
    expect(checked.problems[0]?.remedy).toContain(remedy);
  });

  it('has all its faults named at once', () => {
    const checked = checkPlan({ study: 'x', level: 2, goodDirection: 3 });
    expect(checked.problems.map(({ where }) => where).sort()).toEqual([
      '/goodDirection',
      '/level',
      '/metric',
      '/question',
      '/study',
    ]);
  });
});

describe('loadPlan', () => {
  it('reads a file and gives the hash of its bytes', async () => {
    await inTempFolder(async (folder) => {
      const text = JSON.stringify(FULL, null, 1);
      await writeFile(join(folder, 'plan.json'), text);
      expect(await loadPlan(join(folder, 'plan.json'))).toEqual({
        valid: true,
        plan: FULL,
        problems: [],
        sha256: sha256Hex(text),
      });
    });
  });

  it('says what is wrong with the file itself', async () => {
    await inTempFolder(async (folder) => {
      const absent = await loadPlan(join(folder, 'plan.json'));
      expect(absent).toMatchObject({
        valid: false,
        sha256: null,
        problems: [{ where: '', remedy: 'Check the spelling of the path.' }],
      });
      await writeFile(join(folder, 'plan.json'), '{"study": drill}');
      const broken = await loadPlan(join(folder, 'plan.json'));
      expect(broken.problems[0]?.found).toContain('text that is not JSON');
      const isFolder = await loadPlan(folder);
      expect(isFolder.problems[0]?.found).toContain('cannot be read');
    });
  });
});
