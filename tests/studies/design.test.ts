import { describe, expect, it } from 'vitest';
import { type DesignWish, recogniseDesign } from '../../src/studies/drill-trial/input/design.ts';
import type { TrialAssignment, TrialSession } from '../../src/studies/drill-trial/input/trial-data.ts';

function assigned(
  ...rows: readonly (readonly [golfer: string, arm: string, on: string])[]
): TrialAssignment[] {
  return rows.map(([golfer, arm, assignedOn]) => ({ golfer, trial: 'T', arm, assignedOn }));
}
function visit(golfer: string, date: string, phase: TrialSession['phase']): TrialSession {
  return { session: `${golfer} ${date}`, golfer, date, phase };
}
function recognise(
  assignments: readonly TrialAssignment[],
  wish: DesignWish = {},
  sessions: TrialSession[] = [],
) {
  return recogniseDesign(assignments, sessions, wish);
}
function kindOf(outcome: ReturnType<typeof recognise>): string {
  return outcome.ok ? outcome.design.kind : outcome.problems.map((problem) => problem.found).join();
}

const parallel = assigned(['A', 'towel', '2026-03-01'], ['B', 'usual practice', '2026-03-01']);
const crossover = assigned(
  ['A', 'towel', '2026-03-01'],
  ['A', 'control', '2026-05-01'],
  ['B', 'control', '2026-03-01'],
  ['B', 'towel', '2026-05-01'],
);
const staggered = assigned(['A', 'towel', '2026-03-01'], ['B', 'towel', '2026-05-01']);
const waiting = [visit('A', '2026-02-20', 'baseline'), visit('B', '2026-04-20', 'baseline')];

describe('recognising the design', () => {
  it('parallel groups by a control arm, whatever its usual name', () => {
    const outcome = recognise(parallel);
    expect(outcome.ok && outcome.design).toMatchObject({
      kind: 'parallel',
      control: 'usual practice',
      drills: ['towel'],
    });
    for (const control of ['control', 'Cont', 'waiting list', 'usual coaching', 'no drill', 'placebo'])
      expect(kindOf(recognise(assigned(['A', 'towel', '2026-03-01'], ['B', control, '2026-03-01'])))).toBe(
        'parallel',
      );
  });
  it('several drill arms against one control, the planned one first', () => {
    const rows = [...parallel, ...assigned(['C', 'board', '2026-03-01'])];
    const outcome = recognise(rows, { control: 'usual practice', drills: ['towel', 'board'] });
    expect(outcome.ok && outcome.design.drills).toEqual(['towel', 'board']);
    const one = recognise(rows, { control: 'usual practice', drills: ['board'] });
    expect(one.ok && one.design.drills).toEqual(['board']);
    expect(one.ok && one.design.otherArms).toEqual(['A']);
  });
  it('a crossover by golfers in both arms, in both orders', () => {
    expect(kindOf(recognise(crossover))).toBe('crossover');
  });
  it('not a crossover when all went drill first: time and drill cannot be told apart', () => {
    const outcome = recognise(crossover.filter((row) => row.golfer === 'A'));
    expect(outcome.ok).toBe(false);
    expect(kindOf(outcome)).toContain('first and');
  });
  it('a stepped start by starts that differ, or by golfers who wait in the control', () => {
    expect(kindOf(recognise(staggered, {}, waiting))).toBe('stepped-start');
    expect(kindOf(recognise(crossover.filter((row) => row.golfer === 'B')))).toBe('stepped-start');
    const waves = assigned(['A', 'wave 1', '2026-03-01'], ['B', 'wave 2', '2026-05-01']);
    expect(kindOf(recognise(waves, {}, waiting))).toBe('stepped-start');
  });
  it('before and after by one arm, also when golfers joined on different days', () => {
    expect(kindOf(recognise(assigned(['A', 'towel', '2026-03-01'])))).toBe('before-after');
    expect(
      kindOf(
        recognise(staggered, {}, [
          visit('A', '2026-02-20', 'baseline'),
          visit('B', '2026-02-21', 'baseline'),
        ]),
      ),
    ).toBe('before-after');
    expect(kindOf(recognise(staggered, { kind: 'before-after' }, waiting))).toBe('before-after');
  });
});

describe('what it refuses, and what it says to do', () => {
  it.each([
    ['nobody assigned', [], {}, 'no golfer assigned', 'Fill in assignments.csv'],
    [
      'no control',
      assigned(['A', 'towel', '2026-03-01'], ['B', 'board', '2026-03-01']),
      {},
      'none of which reads like a control',
      'Say which arm is the control',
    ],
    [
      'two controls',
      assigned(['A', 'control', '2026-03-01'], ['B', 'usual practice', '2026-03-01']),
      {},
      'more than one arm that reads like a control',
      'Name the control arm',
    ],
    [
      'only a control',
      assigned(['A', 'control', '2026-03-01']),
      {},
      "only the control arm 'control'",
      'Add the golfers',
    ],
    ['a drill that is not there', parallel, { drills: ['bord'] }, "'bord'", 'Correct the arm'],
    ['a trial that is not there', parallel, { trial: 'X' }, "'X'", 'Correct the trial'],
    [
      'a plan that contradicts',
      parallel,
      { kind: 'crossover' as const },
      'the plan says a crossover; the assignments show parallel',
      'Correct whichever is wrong',
    ],
    [
      'three periods',
      [...crossover, ...assigned(['A', 'board', '2026-07-01'])],
      {},
      'more than two arms or periods',
      'two arms at a time',
    ],
  ] as const)('%s', (_, rows, wish, found, remedy) => {
    const outcome = recognise(rows, wish);
    expect(outcome.ok).toBe(false);
    if (outcome.ok) return;
    expect(outcome.problems[0]!.found).toContain(found);
    expect(outcome.problems[0]!.remedy).toContain(remedy);
  });
  it('several trials without a plan', () => {
    const outcome = recognise([
      ...parallel,
      { golfer: 'C', trial: 'U', arm: 'towel', assignedOn: '2026-03-01' },
    ]);
    expect(kindOf(outcome)).toBe('several trials: T, U');
  });
  it('goes on without a control that the plan names and nobody is in, and says so', () => {
    const outcome = recognise(assigned(['A', 'towel', '2026-03-01']), {
      kind: 'parallel',
      control: 'usual',
      drills: ['towel'],
    });
    expect(outcome.ok && outcome.design.kind).toBe('before-after');
    expect(outcome.ok && outcome.design.warnings[0]).toContain("names 'usual' as the control, but no golfer");
  });
});
