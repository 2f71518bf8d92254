import { describe, expect, it } from 'vitest';
import { analyseMain } from '../../src/studies/drill-trial/analysis/main-analysis.ts';
import { recogniseDesign } from '../../src/studies/drill-trial/input/design.ts';
import { extractTrial } from '../../src/studies/drill-trial/input/extract.ts';
import { placeRows } from '../../src/studies/drill-trial/input/rows.ts';
import { drillTrial, type Finding, serialiseFinding } from '../../src/studies/index.ts';
import { verdictOf } from '../../src/studies/shared/standing.ts';
import { datasetOf, simulatedTrial, type Truth, trialRows } from './simulate.ts';

// Fixed seeds, so nothing here is left to luck; bounds are 4 Monte Carlo standard errors. The fuller run, with
// every design and 95% limits on every rate, is reports/calibration.

const small: Truth = {
  golfersPerArm: 7,
  arms: [
    { arm: 'drill', effect: 2 },
    { arm: 'usual practice', effect: 0 },
  ],
  swings: 4,
  responseSd: 0.7,
};

function effectOf(truth: Truth, seed: number) {
  const extracted = extractTrial(simulatedTrial(truth, seed), undefined, null);
  if (!extracted.ok) throw new Error('no data');
  const { data } = extracted;
  const recognised = recogniseDesign(data.assignments, data.sessions, {});
  if (!recognised.ok) throw new Error('no design');
  const { rows } = placeRows(data, recognised.design);
  const request = {
    design: recognised.design,
    outcome: 'y',
    level: 0.95,
    degreesOfFreedom: 'kenward-roger',
  } as const;
  return analyseMain(rows, request).effects.get('drill')!;
}

function findingOf(truth: Truth, seed: number): Finding {
  const outcome = drillTrial(simulatedTrial(truth, seed));
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.finding;
}

describe('known truth', () => {
  it('is covered by the 95% interval as often as promised, in 7 against 7 golfers', () => {
    const cohorts = 120;
    let covered = 0;
    let sum = 0;
    for (let seed = 1; seed <= cohorts; seed++) {
      const { value, interval } = effectOf(small, seed);
      sum += value!;
      if (interval![0] <= 2 && 2 <= interval![1]) covered += 1;
    }
    const error = Math.sqrt((0.95 * 0.05) / cohorts);
    expect(Math.abs(covered / cohorts - 0.95)).toBeLessThan(4 * error);
    // The SE of one estimate is about 0.9 here, so that of the mean of 120 is about 0.08.
    expect(Math.abs(sum / cohorts - 2)).toBeLessThan(0.33);
  });
  it('without an effect is called meaningful less often than one time in forty', () => {
    const cohorts = 120;
    const nothing = { ...small, arms: small.arms.map((arm) => ({ ...arm, effect: 0 })) };
    let meaningful = 0;
    for (let seed = 1; seed <= cohorts; seed++) {
      const verdict = verdictOf(effectOf(nothing, seed).interval, { value: 0.5, goodDirection: 1 });
      if (verdict === 'meaningful') meaningful += 1;
    }
    // At the limit an effect of 0 lies above a smallest change of 0 in 2.5%; here it must lie above 0.5.
    expect(meaningful / cohorts).toBeLessThan(0.025 + 4 * Math.sqrt((0.025 * 0.975) / cohorts));
  });
});

describe('regression to the mean', () => {
  // No drill effect, no practice effect: all of the change of golfers picked for a low first value is regression.
  const roster = trialRows(
    {
      golfersPerArm: 400,
      arms: [{ arm: 'drill', effect: 0 }],
      swings: 3,
      sessions: 2,
      practice: 0,
      changeSd: 0,
      betweenSd: 2,
      sessionSd: 1.5,
    },
    31,
  );
  const firstMean = (golfer: string) => {
    const own = roster.swings.filter((swing) => swing.swing_id.startsWith(`${golfer}-baseline`));
    return own.reduce((sum, swing) => sum + swing.shaft_lean_impact_deg!, 0) / own.length;
  };
  const picked = new Set(
    roster.golfers.map((row) => row.golfer_id).filter((golfer) => firstMean(golfer) < 3),
  );
  const outcome = drillTrial(
    datasetOf({ ...roster, assignments: roster.assignments.filter((row) => picked.has(row.golfer_id)) }),
  );
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  const { finding } = outcome;

  it('is expected of golfers who were picked for a low value, about as large as it turns out', () => {
    const expected = finding.estimates.find((entry) => entry.key === 'regression-drill')!.value!;
    const change = finding.estimates[0]!;
    // By the parts: noise of a mean 1.5^2/2 + 2^2/6 = 1.792, true variance 4, so 31% of the distance comes back.
    const baseline = [...picked].reduce((sum, golfer) => sum + firstMean(golfer), 0) / picked.size;
    const everyone = roster.golfers.reduce((sum, row) => sum + firstMean(row.golfer_id), 0) / 400;
    const bySetting = (1.792 / (1.792 + 4)) * (everyone - baseline);
    expect(expected / bySetting).toBeGreaterThan(0.85);
    expect(expected / bySetting).toBeLessThan(1.15);
    expect(change.interval[0]).toBeLessThan(bySetting);
    expect(change.interval[1]).toBeGreaterThan(bySetting);
    expect(change.interval[0]).toBeGreaterThan(0);
  });
  it('is named where a coach would take it for the drill', () => {
    const check = finding.checks.find((entry) => entry.name === 'regression to the mean')!;
    expect(check.outcome).toBe('look');
    expect(check.words).toContain('Nothing takes this out of a change without a control');
    expect(finding.answer).toContain('this is a change and not the effect of the drill');
  });
});

describe('a trial with everything in it', () => {
  const truth: Truth = {
    golfersPerArm: 24,
    arms: [
      { arm: 'drill', effect: 3, retained: 0.6 },
      { arm: 'usual practice', effect: 0 },
    ],
    swings: 6,
    sessions: 2,
    phases: ['baseline', 'training', 'post', 'retention'],
    drillSpeed: 5,
    responseSd: 2,
    leavers: [4],
  };
  const finding = findingOf(truth, 12);
  const estimate = (key: string) => finding.estimates.find((entry) => entry.key === key)!;
  const covers = (key: string, value: number) => {
    const [low, high] = estimate(key).interval;
    expect(low).toBeLessThanOrEqual(value);
    expect(high).toBeGreaterThanOrEqual(value);
  };
  it('finds the planted effects, shares and spread of responses', () => {
    covers('effect', 3);
    covers('retention', 1.8);
    covers('retention-share', 60);
    covers('drill-speed', 5);
    covers('carry-over-loss', 2);
    covers('carry-over-share', 60);
    covers('individual-responses', 2);
    covers('change-control', 0.5);
  });
  it('takes sessions into the model, and every kind of number', () => {
    expect(finding.model.words).toContain('Sessions differ within a golfer');
    expect(finding.verdict).toBe('meaningful');
    expect(finding.sensitivity.map((entry) => entry.name)).toEqual(
      expect.arrayContaining(['leave one golfer out', 'change scores', 'complete cases']),
    );
    expect(finding.checks.every((check) => check.words.length > 20)).toBe(true);
  });
  it("shrinks each golfer's change toward the arm, with a chance that follows it", () => {
    const { golfers } = finding.tables as {
      golfers: {
        role: string;
        change: number | null;
        shrunken: number | null;
        interval: [number, number] | null;
        chanceMeaningful: number | null;
      }[];
    };
    const drill = golfers.filter((golfer) => golfer.role === 'drill' && golfer.shrunken !== null);
    expect(drill.length).toBe(23);
    const spread = (values: number[]) => {
      const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
      return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1));
    };
    expect(spread(drill.map((golfer) => golfer.shrunken!))).toBeLessThan(
      spread(drill.map((golfer) => golfer.change!)),
    );
    const ordered = [...drill].sort((a, b) => a.shrunken! - b.shrunken!);
    const chances = ordered.map((golfer) => golfer.chanceMeaningful!);
    expect(chances.every((chance) => chance >= 0 && chance <= 1)).toBe(true);
    expect(chances.at(-1)).toBeGreaterThan(chances[0]!);
    for (const golfer of drill) {
      expect(golfer.interval![0]).toBeLessThan(golfer.shrunken!);
      expect(golfer.interval![1]).toBeGreaterThan(golfer.shrunken!);
    }
  });
  it('gives no chances where one visit in a phase cannot tell the day from the golfer, and says why', () => {
    const once = findingOf({ ...truth, sessions: 1 }, 12);
    const { golfers } = once.tables as {
      golfers: { interval: unknown; chanceMeaningful: number | null }[];
    };
    expect(golfers.some((golfer) => golfer.interval !== null)).toBe(true);
    expect(golfers.every((golfer) => golfer.chanceMeaningful === null)).toBe(true);
    expect(once.estimates.some((entry) => entry.key === 'share-of-golfers')).toBe(false);
    const check = once.checks.find((entry) => entry.name === 'golfers one by one')!;
    expect(check.outcome).toBe('look');
    expect(finding.checks.find((entry) => entry.name === 'golfers one by one')!.outcome).toBe('good');
  });
  it('gives the same bytes for the same inputs', () => {
    expect(serialiseFinding(findingOf(truth, 12))).toBe(serialiseFinding(finding));
  });
  it('does not depend on the order of the rows', () => {
    const rows = trialRows({ ...small, drillSpeed: 3 }, 5);
    const forward = drillTrial(datasetOf(rows));
    const backward = drillTrial(
      datasetOf({ ...rows, swings: [...rows.swings].reverse(), golfers: [...rows.golfers].reverse() }),
    );
    if (!forward.ok || !backward.ok) throw new Error('refused');
    forward.finding.estimates.forEach((entry, i) => {
      if (entry.value !== null) expect(backward.finding.estimates[i]!.value).toBeCloseTo(entry.value, 6);
    });
  });
  it('shifts and scales with the numbers, and turns round when the signs do', () => {
    const rows = trialRows(small, 5);
    const turned = {
      ...rows,
      swings: rows.swings.map((swing) => ({
        ...swing,
        shaft_lean_impact_deg: 3 - swing.shaft_lean_impact_deg!,
      })),
    };
    const [one, other] = [drillTrial(datasetOf(rows)), drillTrial(datasetOf(turned))];
    if (!one.ok || !other.ok) throw new Error('refused');
    const [a, b] = [one.finding.estimates[0]!, other.finding.estimates[0]!];
    expect(b.value).toBeCloseTo(-a.value!, 6);
    expect(b.interval[0]).toBeCloseTo(-a.interval[1]!, 5);
    expect(b.degreesOfFreedom).toBeCloseTo(a.degreesOfFreedom!, 4);
  });
});
