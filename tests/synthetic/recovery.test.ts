import { beforeAll, describe, expect, it } from 'vitest';
import { type Cohort, generateCohort, type Recipe } from '../../src/synthetic/index.ts';
import { averaged, changesByArm, mean, phaseMeans, variance } from './summaries.ts';
import { variant } from './variant.ts';

// What is planted must be found by simple arithmetic on the tables: means of golfers' changes and sums of squares.
// The seeds are fixed; limits are 4 Monte Carlo standard errors.

const COHORTS = 60;
const whole = { dropout: { share: 0 }, missing: { valueShare: 0, visitShare: 0 } };

describe('effects in a parallel trial', () => {
  let recipe: Recipe;
  let cohorts: Cohort[];

  beforeAll(async () => {
    recipe = await variant('drill-parallel-effect', { ...whole, session: { fullSwings: 4, drillSwings: 3 } });
    cohorts = Array.from({ length: COHORTS }, (_, seed) => generateCohort(recipe, seed));
  }, 240_000);

  const differences = (column: string, phase = 'post', task: 'full' | 'drill' = 'full') =>
    cohorts.map(({ tables }) => {
      const changes = changesByArm(tables, column, phase, task);
      return mean(changes.drill) - mean(changes.control);
    });

  function expectRecovered(values: readonly number[], planted: number, plantedError = 0) {
    const found = averaged(values);
    expect(Math.abs(found.mean - planted)).toBeLessThan(4 * Math.hypot(found.standardError, plantedError));
  }

  for (const column of [
    'transition_elbow_change_deg',
    'trail_elbow_flexion_arm_parallel_deg',
    'trail_elbow_flexion_top_deg',
    'lag_delivery_deg',
    'release_onset_ms',
    'shaft_lean_impact_deg',
    'dynamic_loft_deg',
    'attack_angle_deg',
    'club_speed_mps',
    'downswing_ms',
  ])
    it(`${column}: the difference in mean change is the exact effect`, () => {
      expect(cohorts[0]!.truth.drillEffectMonteCarloError[column]).toBeUndefined();
      expectRecovered(differences(column), cohorts[0]!.truth.drillEffect[column]!);
    });

  for (const column of [
    'trail_elbow_flexion_peak_deg',
    'trail_elbow_flexion_impact_deg',
    'elbow_extension_onset_ms',
    'lag_peak_deg',
    'release_timing_pct',
    'low_point_cm',
    'ball_speed_mps',
    'smash_factor',
    'impact_offset_mm',
    'strike_rating',
    'ground_first',
  ])
    it(`${column}: the difference in mean change is the simulated effect`, () => {
      const { drillEffect, drillEffectMonteCarloError } = cohorts[0]!.truth;
      expectRecovered(differences(column), drillEffect[column]!, drillEffectMonteCarloError[column]!);
    });

  it('the effect is large enough for these tests to tell it from none', () => {
    for (const column of ['transition_elbow_change_deg', 'shaft_lean_impact_deg', 'ball_speed_mps']) {
      const found = averaged(differences(column));
      expect(Math.abs(found.mean)).toBeGreaterThan(8 * found.standardError);
    }
  });

  const inDrillTask = () => differences('transition_elbow_change_deg', 'post', 'drill');

  it('the share that carries over from the drill task to the full swing', () => {
    const column = 'transition_elbow_change_deg';
    const drillTask = inDrillTask();
    const excess = differences(column).map((full, at) => full - recipe.learning.carryOver * drillTask[at]!);
    expectRecovered(excess, 0);
  });
  it('in the drill task the effect is the full-swing effect over the share', () => {
    expectRecovered(
      inDrillTask(),
      cohorts[0]!.truth.drillEffect.transition_elbow_change_deg! / recipe.learning.carryOver,
    );
  });

  it('what is left at retention', () => {
    for (const column of ['transition_elbow_change_deg', 'shaft_lean_impact_deg'])
      expectRecovered(differences(column, 'retention'), cohorts[0]!.truth.retentionEffect[column]!);
    expectRecovered(
      differences('ball_speed_mps', 'retention'),
      cohorts[0]!.truth.retentionEffect.ball_speed_mps!,
      cohorts[0]!.truth.retentionEffectMonteCarloError.ball_speed_mps!,
    );
  });

  it('what practice alone does: the controls improve by it', () => {
    for (const column of ['transition_elbow_change_deg', 'shaft_lean_impact_deg', 'club_speed_mps'])
      expectRecovered(
        cohorts.map(({ tables }) => mean(changesByArm(tables, column).control)),
        cohorts[0]!.truth.practiceEffect[column]!,
      );
  });

  it('SD of individual responses: the drill group varies more than the controls by its square', () => {
    const column = 'transition_elbow_change_deg';
    expectRecovered(
      cohorts.map(({ tables }) => {
        const changes = changesByArm(tables, column);
        return variance(changes.drill) - variance(changes.control);
      }),
      cohorts[0]!.truth.individualResponseSd[column]! ** 2,
    );
  });

  it("each golfer's own truth averages to the population's and is what the golfer's change is drawn around", () => {
    const column = 'transition_elbow_change_deg';
    const truths = cohorts.flatMap(({ truth }) => truth.golfers);
    const drilled = truths.filter(({ arms }) => arms.includes('drill'));
    expectRecovered(
      drilled.map(({ drillEffect }) => drillEffect[column]!),
      cohorts[0]!.truth.drillEffect[column]!,
    );
    const spread = Math.sqrt(variance(drilled.map(({ drillEffect }) => drillEffect[column]!)));
    expect(spread / cohorts[0]!.truth.individualResponseSd[column]!).toBeCloseTo(1, 1);
    const misses = cohorts.flatMap(({ tables, truth }) => {
      const means = phaseMeans(tables, column, 'full');
      return truth.golfers.map(({ golfer_id, arms, drillEffect, practiceEffect }) => {
        const change = means.get(golfer_id)!.get('post')! - means.get(golfer_id)!.get('baseline')!;
        return change - practiceEffect[column]! - (arms.includes('drill') ? drillEffect[column]! : 0);
      });
    });
    expectRecovered(misses, 0);
    // Left over: two visits' form, placement and swings (4 a visit), from the variance components.
    const { session, swing } = cohorts[0]!.truth.varianceComponents[column]!;
    expect(variance(misses) / (2 * (session + swing / 4))).toBeCloseTo(1, 1);
  });

  it('dose: golfers who practise more respond more, by the share planted', () => {
    const column = 'transition_elbow_change_deg';
    const drilled = cohorts.flatMap(({ truth }) => truth.golfers.filter(({ arms }) => arms[0] === 'drill'));
    const doses = drilled.map(({ dose }) => dose);
    expect(Math.abs(averaged(doses).mean - 1)).toBeLessThan(4 * averaged(doses).standardError);
    const centre = mean(doses);
    const slope =
      drilled.reduce((sum, { dose, drillEffect }) => sum + (dose - centre) * drillEffect[column]!, 0) /
      doses.reduce((sum, dose) => sum + (dose - centre) ** 2, 0);
    const expected = recipe.learning.doseShare * cohorts[0]!.truth.drillEffect[column]!;
    const standardError =
      cohorts[0]!.truth.individualResponseSd[column]! / Math.sqrt(doses.length * variance(doses));
    expect(Math.abs(slope - expected)).toBeLessThan(4 * standardError);
    // The dose in truth is the repetitions in the practice log over what is planned: 15 bouts, 75 % done, 40 each.
    const { tables, truth } = cohorts[0]!;
    for (const { golfer_id, dose, arms } of truth.golfers) {
      const reps = tables.practice.reduce(
        (sum, row) => sum + (row.golfer_id === golfer_id ? row.reps! : 0),
        0,
      );
      if (arms[0] === 'drill') expect(dose).toBeCloseTo(reps / (15 * 0.75 * 40), 9);
    }
  });
});

describe('decay', () => {
  it('falls off at one rate through the share at the first retention visit', async () => {
    const recipe = await variant('drill-decay', { ...whole, session: { fullSwings: 4, drillSwings: 0 } });
    const cohorts = Array.from({ length: 25 }, (_, seed) => generateCohort(recipe, seed));
    const { truth } = cohorts[0]!;
    const { drill, practice } = recipe.learning.retained;
    // Post on day 56, retention on days 112, 168 and 280: after 1, 2 and 4 times 56 days.
    expect(truth.retentionVisits!.map(({ day }) => day)).toEqual([112, 168, 280]);
    [1, 2, 4].forEach((times, at) => {
      expect(truth.retentionVisits![at]!.drill).toBeCloseTo(drill ** times, 10);
      expect(truth.retentionVisits![at]!.practice).toBeCloseTo(practice ** times, 10);
    });
    const column = 'transition_elbow_change_deg';
    truth.retentionVisits!.forEach(({ drill: left }, at) => {
      const found = averaged(
        cohorts.map(({ tables }) => {
          // Keep the baseline visit and the one asked for: the phase is the same for all three.
          const kept = new Map<string, number>();
          const sessions = tables.sessions.filter(({ golfer_id, phase }) => {
            if (phase !== 'retention') return true;
            kept.set(golfer_id, (kept.get(golfer_id) ?? -1) + 1);
            return kept.get(golfer_id) === at;
          });
          const inside = new Set(sessions.map(({ session_id }) => session_id));
          const some = {
            ...tables,
            sessions,
            swings: tables.swings.filter((row) => inside.has(row.session_id)),
          };
          const changes = changesByArm(some, column, 'retention');
          return mean(changes.drill) - mean(changes.control);
        }),
      );
      expect(Math.abs(found.mean - left * truth.drillEffect[column]!)).toBeLessThan(4 * found.standardError);
      expect(found.standardError).toBeLessThan(0.4);
    });
    expect(truth.retentionEffect[column]).toBeCloseTo(drill * truth.drillEffect[column]!, 9);
  }, 60_000);
});

describe('no effect', () => {
  it('is none in any column, exactly', async () => {
    const { truth } = generateCohort(await variant('drill-no-effect'), 5);
    expect(Object.keys(truth.drillEffect).length).toBeGreaterThan(25);
    for (const effect of Object.values(truth.drillEffect)) expect(effect).toBe(0);
    for (const effect of Object.values(truth.retentionEffect)) expect(effect).toBe(0);
    expect(truth.individualResponseSd.transition_elbow_change_deg).toBe(0);
  });
});

describe('variance components', () => {
  const golfers = 200;
  const visits = 3;
  const swings = 5;
  let cohort: Cohort;

  beforeAll(async () => {
    const recipe = await variant('drill-before-after', {
      ...whole,
      roster: { golfers },
      session: { fullSwings: swings, drillSwings: 0 },
      selection: { limit: -1000 },
      design: {
        assignedDay: 23,
        visits: [
          { phase: 'baseline', day: 0 },
          { phase: 'baseline', day: 10 },
          { phase: 'baseline', day: 20 },
          { phase: 'post', day: 80 },
        ],
      },
    });
    cohort = generateCohort(recipe, 31);
  }, 120_000);

  // Nested analysis of variance by mean squares (Searle, Casella & McCulloch, Variance Components, 1992, ch. 4).
  for (const column of [
    'trail_elbow_flexion_top_deg',
    'transition_elbow_change_deg',
    'trail_elbow_flexion_arm_parallel_deg',
    'lag_delivery_deg',
    'release_onset_ms',
    'shaft_lean_impact_deg',
    'dynamic_loft_deg',
    'club_speed_mps',
    'thorax_turn_impact_deg',
  ])
    it(`${column}: golfer, visit and swing, by mean squares`, () => {
      const { sessions, swings: rows } = cohort.tables;
      const baseline = sessions.filter(({ phase }) => phase === 'baseline');
      const values = new Map(baseline.map(({ session_id }) => [session_id, [] as number[]]));
      for (const row of rows)
        values.get(row.session_id)?.push((row as unknown as Record<string, number>)[column]!);
      const perGolfer = new Map<string, number[]>();
      for (const { golfer_id, session_id } of baseline)
        perGolfer.set(golfer_id, [...(perGolfer.get(golfer_id) ?? []), mean(values.get(session_id)!)]);
      const swingMs = mean([...values.values()].map(variance));
      const sessionMs = swings * mean([...perGolfer.values()].map(variance));
      const golferMs = swings * visits * variance([...perGolfer.values()].map(mean));

      const planted = cohort.truth.varianceComponents[column]!;
      const relative = (df: number) => 4 * Math.sqrt(2 / df);
      expect(Math.abs(swingMs / planted.swing - 1)).toBeLessThan(
        relative(golfers * visits * (swings - 1)) * 1.3,
      );
      const expectedSession = swings * planted.session + planted.swing;
      expect(Math.abs(sessionMs / expectedSession - 1)).toBeLessThan(relative(golfers * (visits - 1)) * 1.3);
      const expectedGolfer = swings * visits * planted.golfer + expectedSession;
      expect(Math.abs(golferMs / expectedGolfer - 1)).toBeLessThan(relative(golfers - 1));
    });
});
