import { beforeAll, describe, expect, it } from 'vitest';
import { type Cohort, generateCohort, type Recipe } from '../../src/synthetic/index.ts';
import { nestedMoments, withError } from '../../src/synthetic/truth/nested-moments.ts';
import { averaged, changesByArm, mean, variance } from './summaries.ts';
import { variant } from './variant.ts';

// Swings by mechanics: what truth.json says by simulation must be found by plain arithmetic on a cohort drawn with other
// numbers. Limits are 4 standard errors, those of the cohort and of the simulation together. Seeds are fixed.

const whole = { dropout: { share: 0 }, missing: { valueShare: 0, visitShare: 0 } };

describe('mechanics-drill', () => {
  let cohort: Cohort;
  beforeAll(async () => {
    const recipe = await variant('mechanics-drill', {
      ...whole,
      roster: { golfers: 120 },
      session: { fullSwings: 4, drillSwings: 1 },
      design: {
        visits: [
          { phase: 'baseline', day: 0 },
          { phase: 'post', day: 56 },
          { phase: 'retention', day: 112 },
        ],
      },
    });
    cohort = generateCohort(recipe, 6);
  }, 120_000);

  const columns = [
    'transition_elbow_change_deg',
    'trail_elbow_flexion_impact_deg',
    'lag_delivery_deg',
    'release_onset_ms',
    'shaft_lean_impact_deg',
    'downswing_ms',
    'club_speed_mps',
    'attack_angle_deg',
    'low_point_cm',
    'ball_speed_mps',
  ];

  it.each(['post', 'retention'] as const)(
    'differences between the arms are the simulated effects at %s',
    (phase) => {
      const { truth, tables } = cohort;
      const [effect, error] =
        phase === 'post'
          ? [truth.drillEffect, truth.drillEffectMonteCarloError]
          : [truth.retentionEffect, truth.retentionEffectMonteCarloError];
      for (const column of columns) {
        const changes = changesByArm(tables, column, phase);
        const [drill, control] = [averaged(changes.drill), averaged(changes.control)];
        const spread = Math.hypot(drill.standardError, control.standardError, error[column]!);
        expect(Math.abs(drill.mean - control.mean - effect[column]!), column).toBeLessThan(4 * spread);
        expect(error[column], column).toBeGreaterThan(0);
      }
    },
  );

  it('the drill does something that can be seen', () => {
    for (const column of ['transition_elbow_change_deg', 'shaft_lean_impact_deg'])
      expect(Math.abs(cohort.truth.drillEffect[column]!)).toBeGreaterThan(
        10 * cohort.truth.drillEffectMonteCarloError[column]!,
      );
  });

  it('practice moves the controls by what is simulated for it', () => {
    const { practiceEffect, movement } = cohort.truth;
    for (const column of columns) {
      const { control } = changesByArm(cohort.tables, column);
      const found = averaged(control);
      const spread = Math.hypot(found.standardError, movement!.practiceEffectMonteCarloError[column]!);
      expect(Math.abs(found.mean - practiceEffect[column]!), column).toBeLessThan(4 * spread);
    }
  });

  it('golfers’ own effects, of how they swing as a rule, average to the population’s', () => {
    for (const column of ['transition_elbow_change_deg', 'release_onset_ms', 'shaft_lean_impact_deg']) {
      const found = averaged(cohort.truth.golfers.map(({ drillEffect }) => drillEffect[column]!));
      const spread = Math.hypot(found.standardError, cohort.truth.drillEffectMonteCarloError[column]!);
      // Effects bend with the day and the swing, and what is cold differs: a fifth of the effect is left for that.
      expect(Math.abs(found.mean - cohort.truth.drillEffect[column]!), column).toBeLessThan(
        4 * spread + 0.2 * Math.abs(cohort.truth.drillEffect[column]!),
      );
    }
  });
});

describe('mechanics-roster', () => {
  let recipe: Recipe;
  let cohort: Cohort;
  let golfers: { id: string; values: number[][][] }[];
  const columns = [
    'transition_elbow_change_deg',
    'release_onset_ms',
    'lag_delivery_deg',
    'shaft_lean_impact_deg',
    'club_speed_mps',
  ];
  beforeAll(async () => {
    // Next to no error of measurement, so that slopes of measured values are those of true ones.
    recipe = await variant('mechanics-roster', {
      ...whole,
      roster: { golfers: 120 },
      session: { fullSwings: 5 },
      placement: [],
      metrics: Object.fromEntries(columns.map((column) => [column, { measurementSd: 0 }])),
      design: {
        visits: [
          { phase: 'baseline', day: 0 },
          { phase: 'baseline', day: 14 },
        ],
      },
    });
    cohort = generateCohort(recipe, 15);
    const { sessions, swings } = cohort.tables;
    golfers = cohort.tables.golfers.map(({ golfer_id: id }) => ({
      id,
      values: sessions
        .filter(({ golfer_id }) => golfer_id === id)
        .map(({ session_id }) =>
          swings
            .filter((row) => row.session_id === session_id)
            .map((row) => columns.map((column) => (row as unknown as Record<string, number>)[column]!)),
        ),
    }));
  }, 120_000);

  it('slopes within golfers and between them, and components, are those simulated', () => {
    const all = golfers.map(({ values }) => values);
    for (const truth of cohort.truth.movement!.associations) {
      const [x, y] = [columns.indexOf(truth.predictor), columns.indexOf(truth.outcome)];
      const within = withError(all, (some) => {
        const [xx, xy] = [nestedMoments(some, x, x), nestedMoments(some, x, y)];
        return (xy.session + xy.swing) / (xx.session + xx.swing);
      });
      const between = withError(
        all,
        (some) => nestedMoments(some, x, y).golfer / nestedMoments(some, x, x).golfer,
      );
      const label = `${truth.predictor} -> ${truth.outcome}`;
      expect(Math.abs(within.value - truth.within), `within ${label}`).toBeLessThan(
        4 * Math.hypot(within.error, truth.withinMonteCarloError),
      );
      expect(Math.abs(between.value - truth.between), `between ${label}`).toBeLessThan(
        4 * Math.hypot(between.error, truth.betweenMonteCarloError),
      );
    }
    columns.forEach((column, c) => {
      for (const key of ['golfer', 'session', 'swing'] as const) {
        const found = withError(all, (some) => nestedMoments(some, c, c)[key]);
        const error = cohort.truth.movement!.varianceComponentsMonteCarloError[column]![key];
        expect(
          Math.abs(found.value - cohort.truth.varianceComponents[column]![key]),
          `${column} ${key}`,
        ).toBeLessThan(4 * Math.hypot(found.error, error));
      }
    });
  });

  it('a swing holds together: lean, loft and timing as they are defined, and height and side are the body’s', () => {
    for (const row of cohort.tables.swings as unknown as Record<string, number>[]) {
      expect(row.dynamic_loft_deg).toBeCloseTo(27 - row.shaft_lean_impact_deg!, 9);
      expect(row.lag_peak_deg).toBeGreaterThanOrEqual(row.lag_top_deg! - 1e-9);
    }
    const heights = cohort.tables.golfers.map(({ height_cm }) => height_cm!);
    expect(mean(heights)).toBeGreaterThan(165);
    expect(Math.sqrt(variance(heights))).toBeLessThan(12);
    expect(cohort.truth.movement!.redrawnShare).toBeLessThan(0.05);
    expect(cohort.truth.drillEffect.shaft_lean_impact_deg).toBe(0);
  });
});

describe('nested moments', () => {
  it('are those of a worked example: two golfers, two visits, two swings', () => {
    // By hand: visit means 1, 3 | 6, 8; golfer means 2, 7. Mean squares: swings 2, visits 2 * 2 = 4, golfers 4 * 12.5 = 50.
    const golfers = [
      [
        [[0], [2]],
        [[2], [4]],
      ],
      [
        [[5], [7]],
        [[7], [9]],
      ],
    ];
    expect(nestedMoments(golfers, 0, 0)).toEqual({ golfer: (50 - 4) / 4, session: (4 - 2) / 2, swing: 2 });
  });
});
