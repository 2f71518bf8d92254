import { describe, expect, it } from 'vitest';
import type { Dropouts } from '../../src/studies/drill-trial/analysis/dropouts.ts';
import { NO_EFFECT } from '../../src/studies/drill-trial/analysis/effect.ts';
import type { FollowUps } from '../../src/studies/drill-trial/analysis/follow-ups.ts';
import { noiseWithinGolfers } from '../../src/studies/drill-trial/analysis/noise.ts';
import type { Design, DesignKind } from '../../src/studies/drill-trial/input/design.ts';
import { sharedCauses } from '../../src/studies/drill-trial/input/shared-causes.ts';
import { groupsOfSwings, type SingleSwing } from '../../src/studies/drill-trial/input/swing-groups.ts';
import type { TrialSession } from '../../src/studies/drill-trial/input/trial-data.ts';
import { listCautions } from '../../src/studies/drill-trial/wording/cautions.ts';
import { dropoutChecks } from '../../src/studies/drill-trial/wording/dropout-words.ts';
import { nextSteps } from '../../src/studies/drill-trial/wording/next-steps.ts';
import type { SmallestChange, Verdict } from '../../src/studies/finding.ts';
import type { StudyMetric } from '../../src/studies/shared/study-metric.ts';

const smallest: SmallestChange = { value: 1, unit: 'deg', from: 'plan', why: '', goodDirection: 1 };
const metric: StudyMetric = {
  column: 'shaft_lean_impact_deg',
  label: 'shaft lean at impact',
  unit: 'deg',
  meaning: '',
  version: '1',
  kind: 'number',
  decimals: 1,
  goodDirection: 1,
  goodDirectionWhy: '',
};
function designOf(kind: DesignKind, drills = ['drill']): Design {
  const control = kind === 'parallel' || kind === 'crossover' ? 'usual practice' : null;
  return { kind, trial: 'T', control, drills, periods: new Map(), otherArms: [], warnings: [] };
}

describe('what to do next', () => {
  const more = { retention: 'none' } as unknown as FollowUps;
  const effect = (low: number, high: number, df = 30) => ({
    value: (low + high) / 2,
    interval: [low, high] as const,
    standardError: 1,
    degreesOfFreedom: df,
  });
  const steps = (verdict: Verdict, of = effect(-1, 3), kind: DesignKind = 'parallel', planned = true) =>
    nextSteps(designOf(kind), verdict, of, smallest, 10, more, 1, planned).join(' ');
  it('follows the verdict', () => {
    expect(steps('meaningful')).toContain('Worth keeping');
    expect(steps('too-small-to-matter')).toContain('not worth the time');
    expect(steps('opposite')).toContain('Stop the drill');
  });
  it('says how many golfers would settle it: four times as many for half the width', () => {
    expect(steps('cannot-tell', effect(-1, 3))).toContain('about 40 golfers in each arm');
    expect(steps('cannot-tell', effect(-60, 60))).toContain('more than 1000 in each arm');
    expect(steps('cannot-tell', effect(0.4, 1.6))).toContain('near the border of what matters');
    expect(steps('cannot-tell', effect(-1, 3, 2))).toContain('too few golfers even to say how many');
    expect(steps('cannot-tell', NO_EFFECT as never)).not.toContain('golfers even to say');
  });
  it('asks for a control, a retention session and a plan where they are wanting', () => {
    expect(steps('meaningful', effect(2, 3), 'before-after')).toContain('let chance decide');
    expect(steps('meaningful')).toContain('Measure again after some weeks');
    expect(steps('meaningful', effect(2, 3), 'crossover')).not.toContain('Measure again');
    expect(steps('meaningful', effect(2, 3), 'parallel', false)).toContain('Write the next question down');
  });
});

describe('dropouts in words', () => {
  const flow = [
    { arm: 'drill', role: 'drill' as const, assigned: 10, baseline: 10, post: 8, retention: 8 },
    { arm: 'usual practice', role: 'control' as const, assigned: 10, baseline: 10, post: 10, retention: 9 },
  ];
  const nobody: Dropouts = {
    leavers: new Map([
      ['drill', []],
      ['usual practice', []],
    ]),
    baselineDifference: null,
    share: new Map([
      ['drill', 0],
      ['usual practice', 0],
    ]),
    tipping: null,
    tippingInSds: null,
  };
  const two: Dropouts = {
    ...nobody,
    leavers: new Map([['drill', ['G03', 'G07']]]),
    share: new Map([
      ['drill', 0.2],
      ['usual practice', 0],
    ]),
    baselineDifference: { difference: -1.2, standardError: 1, degreesOfFreedom: 3, interval: [-4, 1.6] },
    tipping: -4,
    tippingInSds: 2.5,
  };
  it('says when nobody left', () => {
    expect(dropoutChecks(nobody, flow, metric, smallest, 'parallel')[0]).toMatchObject({ outcome: 'good' });
  });
  it('names who left, how they started, and how far off they would have to be', () => {
    const [who, tipping] = dropoutChecks(two, flow, metric, smallest, 'parallel');
    expect(who!.words).toContain("2 of 10 in 'drill' (G03 and G07)");
    expect(who!.words).toContain('started 1.2 deg below those who stayed');
    expect(who!.outcome).toBe('look');
    expect(tipping!.words).toContain('by 4.0 deg less than golfers like them, 2.5 times the SD');
    expect(tipping!.words).toContain('That would take unusual golfers');
    expect(tipping!.words).not.toContain('those who left the control');
  });
  it('warns when little would turn the verdict, and says when nothing would', () => {
    const close = dropoutChecks({ ...two, tippingInSds: 0.3 }, flow, metric, smallest, 'parallel')[1]!;
    expect(close.outcome).toBe('look');
    expect(close.words).toContain('leans on those who stayed');
    const none = dropoutChecks(
      { ...two, tipping: null, tippingInSds: null },
      flow,
      metric,
      smallest,
      'parallel',
    )[1]!;
    expect(none.outcome).toBe('not-possible');
  });
  it('counts half-measured golfers in a crossover', () => {
    const half = {
      ...two,
      leavers: new Map([['one period', ['G05']]]),
      share: new Map([['one period', 0.1]]),
    };
    const [check] = dropoutChecks(half, flow, metric, smallest, 'crossover');
    expect(check!.words).toContain('after one of the two arms only: G05 (10%)');
  });
  it('is cautioned above a fifth, and small groups are not for sharing', () => {
    const many = { ...two, share: new Map([['drill', 0.3]]) };
    const tiny = flow.map((row) => ({ ...row, assigned: 4 }));
    const cautions = listCautions(designOf('parallel'), metric, tiny, many, []).join(' ');
    expect(cautions).toContain("More than a fifth of the golfers in 'drill' (30%)");
    expect(cautions).toContain("Fewer than 5 golfers in 'drill' and 'usual practice'");
    expect(cautions).toContain('not proof of cause');
    expect(cautions).toContain('licensed clinician');
    expect(cautions).toContain('consent');
  });
});

describe('what else may explain it', () => {
  const session = (
    id: string,
    golfer: string,
    phase: 'baseline' | 'post',
    more: Partial<TrialSession>,
  ): TrialSession => ({
    session: id,
    golfer,
    date: '2026-03-01',
    phase,
    ...more,
  });
  const row = (sessionId: string, golfer: string, phase: 'baseline' | 'post', arm: string): SingleSwing => ({
    swing: `${sessionId}-1`,
    session: sessionId,
    golfer,
    date: '2026-03-01',
    phase,
    task: 'full',
    value: 1,
    arm,
    period: 1,
  });
  it('names an instructor who is one arm, and a device that is one phase', () => {
    const sessions = [
      session('1', 'A', 'baseline', { instructor: 'I1', device: 'markers' }),
      session('2', 'A', 'post', { instructor: 'I1', device: 'radar' }),
      session('3', 'B', 'baseline', { instructor: 'I2', device: 'markers' }),
      session('4', 'B', 'post', { instructor: 'I2', device: 'radar' }),
    ];
    const rows = [
      row('1', 'A', 'baseline', 'drill'),
      row('2', 'A', 'post', 'drill'),
      row('3', 'B', 'baseline', 'usual practice'),
      row('4', 'B', 'post', 'usual practice'),
    ];
    const causes = sharedCauses(groupsOfSwings(rows), sessions, designOf('parallel'));
    expect(causes.join(' ')).toContain('the drill and the instructor cannot be told apart (I1; I2)');
    expect(causes.join(' ')).toContain('a change may be the device (markers; radar)');
    const same = sessions.map((entry) => ({ ...entry, instructor: 'I1', device: 'radar' }));
    expect(sharedCauses(groupsOfSwings(rows), same, designOf('parallel'))).toEqual([]);
  });
});

describe('noise within golfers', () => {
  // By hand: sessions {1, 3} and {5, 9} of one golfer and phase. Within sessions (2 + 8) / 2 = 5; session means 2 and
  // 7 have variance 12.5, of which swings explain 5 / 2; so sessions have 10. Three such golfers give the same.
  const rows = ['A', 'B', 'C'].flatMap((golfer) =>
    [
      [1, 's1'],
      [3, 's1'],
      [5, 's2'],
      [9, 's2'],
    ].map(
      ([value, id], i): SingleSwing => ({
        swing: `${golfer}${i}`,
        session: `${golfer}${id}`,
        golfer,
        date: '2026-03-01',
        phase: 'baseline',
        task: 'full',
        value: Number(value),
        arm: 'drill',
        period: 1,
      }),
    ),
  );
  it('splits swings from sessions', () => {
    const { swing, session } = noiseWithinGolfers(groupsOfSwings(rows));
    expect(swing).toBeCloseTo(Math.sqrt(5), 12);
    expect(session).toBeCloseTo(Math.sqrt(10), 12);
  });
  it('knows what it cannot tell', () => {
    expect(
      noiseWithinGolfers(groupsOfSwings(rows.filter((entry) => entry.session.endsWith('s1')))).session,
    ).toBeNull();
    expect(noiseWithinGolfers(groupsOfSwings(rows.filter((_, i) => i % 4 === 0)))).toEqual({
      swing: null,
      session: null,
    });
  });
});
