import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import {
  INSTANT_NAMES,
  instantCatalogue,
  isMetricColumn,
  metricByColumn,
  metricCatalogue,
  metricRelations,
  quantityCatalogue,
} from '../../src/kinematics/index.ts';
import { sharedReference } from '../reference/shared.ts';

/** The metric columns of the dataset's specification, in its order. */
const COLUMNS =
  'trail_elbow_flexion_top_deg trail_elbow_flexion_peak_deg trail_elbow_flexion_arm_parallel_deg trail_elbow_flexion_impact_deg elbow_recoil_deg transition_elbow_change_deg elbow_extension_onset_ms elbow_extension_speed_peak_dps lag_top_deg lag_peak_deg lag_delivery_deg lag_impact_deg release_onset_ms release_timing_pct shaft_lean_impact_deg pelvis_turn_impact_deg thorax_turn_impact_deg downswing_ms hand_speed_peak_mps club_speed_mps attack_angle_deg low_point_cm dynamic_loft_deg ball_speed_mps smash_factor impact_offset_mm strike_rating ground_first'.split(
    ' ',
  );

const UNIT_BY_ENDING: readonly (readonly [string, string])[] = [
  ['_deg', 'deg'],
  ['_dps', 'deg/s'],
  ['_ms', 'ms'],
  ['_pct', '%'],
  ['_mps', 'm/s'],
  ['_cm', 'cm'],
  ['_mm', 'mm'],
  ['smash_factor', 'ratio'],
  ['strike_rating', 'rating 1 to 5'],
  ['ground_first', 'yes/no'],
];

describe('the catalogue of metrics', () => {
  it('has the columns of the dataset, each once and in order', () => {
    expect(metricCatalogue.map(({ column }) => column)).toEqual(COLUMNS);
    expect(new Set(metricCatalogue.map(({ id }) => id)).size).toBe(COLUMNS.length);
  });

  it.each(metricCatalogue.map((metric) => [metric.column, metric] as const))(
    '%s is whole and does not contradict itself',
    (column, metric) => {
      expect(metric.unit).toBe(UNIT_BY_ENDING.find(([ending]) => column.endsWith(ending))?.[1]);
      for (const text of [
        metric.label,
        metric.sign,
        metric.meaning,
        metric.equation,
        metric.source,
        metric.goodDirectionWhy,
      ])
        expect(text.length).toBeGreaterThan(3);
      expect(metric.confusedWith.length).toBeGreaterThan(0);
      const [low, high] = metric.plausible;
      expect(metric.possible[0]).toBeLessThanOrEqual(low);
      expect(low).toBeLessThan(high);
      expect(high).toBeLessThanOrEqual(metric.possible[1]);
      expect(metric.example).toBeGreaterThanOrEqual(low);
      expect(metric.example).toBeLessThanOrEqual(high);
      for (const { medianBetween } of metric.suspect)
        if (medianBetween !== undefined)
          expect(metric.example >= medianBetween[0] && metric.example <= medianBetween[1]).toBe(false);
    },
  );

  it('relates only metrics there are', () => {
    for (const relation of metricRelations) {
      const { kind: _kind, why: _why, ...rest } = relation;
      const named = Object.entries(rest).filter(([key]) =>
        ['higher', 'lower', 'result', 'minuend', 'subtrahend', 'numerator', 'denominator'].includes(key),
      );
      expect(named.length).toBeGreaterThanOrEqual(2);
      for (const [, column] of named) expect(isMetricColumn(String(column))).toBe(true);
    }
  });

  it('expects the low point where a circular arc has it', () => {
    // tan(AoA) = tan(s) sin(eta), d = R sin|s|; -4 deg, eta 60 deg, R 1.6 m gives 0.1288 m ahead (check value of the specification).
    const s = Math.atan(Math.tan((4 * Math.PI) / 180) / Math.sin(Math.PI / 3));
    expect(1.6 * Math.sin(s)).toBeCloseTo(0.1288, 4);
    const relation = metricRelations.find((one) => one.kind === 'ratio' && one.numerator === 'low_point_cm');
    if (relation?.kind !== 'ratio') throw new Error('there must be such a relation');
    expect(12.88 / -4).toBeGreaterThan(relation.expected[0]);
    expect(12.88 / -4).toBeLessThan(relation.expected[1]);
  });
});

describe('the catalogue of instants and quantities', () => {
  it('has every instant in order', () => {
    expect(instantCatalogue.map(({ name }) => name)).toEqual([...INSTANT_NAMES]);
  });

  it.each([
    ...instantCatalogue.flatMap(({ name, definitions }) =>
      definitions.map((one) => [`${name}: ${one.way}`, one] as const),
    ),
    ...quantityCatalogue.map((one) => [one.id, one] as const),
  ])('%s is versioned and has equation, landmarks and source', (_name, one) => {
    expect(one.version).toMatch(/^\d+\.\d+$/);
    for (const text of [one.meaning, one.equation, one.source]) expect(text.length).toBeGreaterThan(3);
    expect(one.points.length).toBeGreaterThan(0);
    for (const landmark of [...one.points, ...('pointsBefore' in one ? (one.pointsBefore ?? []).flat() : [])])
      expect(landmark).toMatch(/^[a-z][a-z0-9_]*$/);
  });

  // The rows of the specification's table of metrics that have no column of their own in the dataset.
  it.each([
    'trail_elbow_flexion',
    'lag_angle',
    'shaft_lean_plane_impact',
    'pelvis_turn',
    'thorax_turn',
    'spin_loft',
  ])('has %s', (id) => {
    expect(quantityCatalogue.map((quantity) => quantity.id)).toContain(id);
  });

  it('has a unit, a sign and what it is confused with for every one', () => {
    for (const { sign, confusedWith, unit } of [...instantCatalogue, ...quantityCatalogue]) {
      expect(sign.length + unit.length).toBeGreaterThan(3);
      expect(confusedWith.length).toBeGreaterThan(0);
    }
  });
});

describe('metricByColumn', () => {
  it('finds a metric', () => {
    expect(metricByColumn('shaft_lean_impact_deg')).toMatchObject({
      id: 'shaft_lean_impact',
      unit: 'deg',
      goodDirection: 1,
    });
  });

  it.each(['shaft_lean', 'constructor', '__proto__', ''])(
    'refuses %j with the list of what there is',
    (column) => {
      expect(() => metricByColumn(column)).toThrow(
        /metricByColumn: there is no metric .* Use one of: trail_elbow_flexion_top_deg/,
      );
      expect(isMetricColumn(column)).toBe(false);
    },
  );
});

interface Published {
  readonly quantity: string;
  readonly value: number;
  readonly sd: number | null;
}
const literature = sharedReference('literature.json');

describe.skipIf(literature === null)(
  'against the published and assumed values of the reference folder',
  () => {
    const entries = literature === null ? [] : (JSON.parse(readFileSync(literature, 'utf8')) as Published[]);
    // Two standard deviations either way of what is published or assumed must be plausible, or real golfers are called wrong.
    it.each([
      ['peak trail (right) elbow extension angular velocity, downswing', 'elbow_extension_speed_peak_dps'],
      ['trail elbow flexion at top of backswing (cohort setting)', 'trail_elbow_flexion_top_deg'],
      ['trail elbow flexion at impact (cohort setting)', 'trail_elbow_flexion_impact_deg'],
      ['forearm-shaft wrist-cock angle at top (cohort setting)', 'lag_top_deg'],
      ['forearm-shaft wrist-cock angle at impact (cohort setting)', 'lag_impact_deg'],
      ['forward shaft lean at impact, mid-iron (cohort setting)', 'shaft_lean_impact_deg'],
      ['attack angle, mid-iron (cohort setting)', 'attack_angle_deg'],
      ['attack angle adaptation, tee shot, uphill lie target', 'attack_angle_deg'],
      ['5-iron ball launch speed, high-speed group', 'ball_speed_mps'],
      ['5-iron ball launch speed, low-speed group', 'ball_speed_mps'],
    ])('%s is plausible', (quantity, column) => {
      const found = entries.filter((entry) => entry.quantity === quantity);
      expect(found.length).toBeGreaterThan(0);
      const [low, high] = metricByColumn(column).plausible;
      for (const { value, sd } of found) {
        expect(value - 2 * (sd ?? 0)).toBeGreaterThanOrEqual(low);
        expect(value + 2 * (sd ?? 0)).toBeLessThanOrEqual(high);
      }
    });
  },
);
