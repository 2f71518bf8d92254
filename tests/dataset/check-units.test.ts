import { describe, expect, it } from 'vitest';
import { datasetFromRows, type RowInput, type SwingRow } from '../../src/dataset/index.ts';

/** Eight invented full swings of a right-way-round column set, each a little different. */
const SWINGS: readonly RowInput<SwingRow>[] = Array.from({ length: 8 }, (_, index) => ({
  swing_id: `W${index}`,
  session_id: 'S1',
  order_in_session: index + 1,
  task: 'full' as const,
  trail_elbow_flexion_top_deg: 92 + index,
  trail_elbow_flexion_peak_deg: 96 + index,
  trail_elbow_flexion_arm_parallel_deg: 82 + index,
  trail_elbow_flexion_impact_deg: 34 + index,
  elbow_recoil_deg: 4,
  transition_elbow_change_deg: -10,
  elbow_extension_onset_ms: 100 + index,
  elbow_extension_speed_peak_dps: 800 + index,
  lag_top_deg: 88 + index,
  lag_peak_deg: 95 + index,
  lag_delivery_deg: 65 + index,
  lag_impact_deg: 18 + index,
  release_onset_ms: 80 + index,
  release_timing_pct: 70 + index,
  shaft_lean_impact_deg: 5 + index / 2,
  downswing_ms: 285 + index,
  hand_speed_peak_mps: 8 + index / 10,
  club_speed_mps: 36 + index / 10,
  attack_angle_deg: -3 - index / 4,
  low_point_cm: 9.6 + 0.8 * index,
  ball_speed_mps: 49 + index / 10,
  smash_factor: 1.36,
  speed_intent_pct: 95 + (index % 3),
}));

type Change = (swing: RowInput<SwingRow>) => RowInput<SwingRow>;

function check(change: Change = (swing) => swing) {
  return datasetFromRows({
    golfers: [{ golfer_id: 'G01', plays: 'right' }],
    sessions: [{ session_id: 'S1', golfer_id: 'G01', date: '2026-03-04', phase: 'baseline' }],
    swings: SWINGS.map(change),
  }).problems;
}

const scaled =
  (column: keyof SwingRow, factor: number): Change =>
  (swing) => ({ ...swing, [column]: (swing[column] as number) * factor });
const mapped =
  (columns: readonly (keyof SwingRow)[], map: (value: number) => number): Change =>
  (swing) => ({
    ...swing,
    ...Object.fromEntries(columns.map((column) => [column, map(swing[column] as number)])),
  });

/** 1 mile = 1609.344 m, so 1 mile an hour = 0.44704 m/s exactly; 1 inch = 2.54 cm exactly. */
const MPH = 0.44704;
const INCH = 2.54;
const DEGREE = Math.PI / 180;

describe('columns in the right unit and convention', () => {
  it('have no problem', () => {
    expect(check()).toEqual([]);
  });
});

interface UnitCase {
  readonly what: string;
  readonly change: Change;
  readonly column: keyof SwingRow;
  readonly severity: 'error' | 'warning';
  readonly words: readonly string[];
}

const CASES: readonly UnitCase[] = [
  {
    what: 'miles an hour in the club speed',
    change: scaled('club_speed_mps', 1 / MPH),
    column: 'club_speed_mps',
    severity: 'error',
    words: ['miles an hour', '0.44704'],
  },
  {
    what: 'miles an hour in the ball speed',
    change: scaled('ball_speed_mps', 1 / MPH),
    column: 'ball_speed_mps',
    severity: 'error',
    words: ['miles an hour', '0.44704'],
  },
  {
    what: 'miles an hour in the hand speed',
    change: scaled('hand_speed_peak_mps', 1 / MPH),
    column: 'hand_speed_peak_mps',
    severity: 'error',
    words: ['miles an hour', '0.44704'],
  },
  {
    what: 'the included angle of the elbow at impact',
    change: mapped(['trail_elbow_flexion_impact_deg'], (x) => 180 - x),
    column: 'trail_elbow_flexion_impact_deg',
    severity: 'error',
    words: ['included angle of the elbow', '180 minus'],
  },
  {
    what: 'the included angle in both elbow columns',
    change: mapped(['trail_elbow_flexion_top_deg', 'trail_elbow_flexion_impact_deg'], (x) => 180 - x),
    column: 'trail_elbow_flexion_impact_deg',
    severity: 'error',
    words: ['included angle of the elbow'],
  },
  {
    what: 'the included angle of forearm and shaft',
    change: mapped(['lag_top_deg', 'lag_impact_deg'], (x) => 180 - x),
    column: 'lag_impact_deg',
    severity: 'error',
    words: ['included angle between forearm and shaft', '180 minus'],
  },
  {
    what: 'a 2-D lag angle at impact',
    // Seen face on, forearm and shaft come nearly into line at impact; in space they do not.
    change: mapped(['lag_impact_deg'], (x) => x / 20),
    column: 'lag_impact_deg',
    severity: 'warning',
    words: ['2-D angle', 'in space'],
  },
  {
    what: 'radians in the elbow bend',
    change: scaled('trail_elbow_flexion_top_deg', DEGREE),
    column: 'trail_elbow_flexion_top_deg',
    severity: 'error',
    words: ['radians', '57.29578'],
  },
  {
    what: 'radians in the shaft lean',
    change: scaled('shaft_lean_impact_deg', DEGREE),
    column: 'shaft_lean_impact_deg',
    severity: 'error',
    words: ['radians', '57.29578'],
  },
  {
    what: 'radians a second in the elbow speed',
    change: scaled('elbow_extension_speed_peak_dps', DEGREE),
    column: 'elbow_extension_speed_peak_dps',
    severity: 'error',
    words: ['radians a second'],
  },
  {
    what: 'the speed of bending for that of straightening',
    change: scaled('elbow_extension_speed_peak_dps', -1),
    column: 'elbow_extension_speed_peak_dps',
    severity: 'error',
    words: ['minus sign'],
  },
  {
    what: 'lean measured from the ground',
    change: mapped(['shaft_lean_impact_deg'], (x) => 90 - x),
    column: 'shaft_lean_impact_deg',
    severity: 'error',
    words: ['from the ground', '90 minus'],
  },
  {
    what: 'seconds in the downswing',
    change: scaled('downswing_ms', 1 / 1000),
    column: 'downswing_ms',
    severity: 'error',
    words: ['seconds', '1000'],
  },
  {
    what: 'frames at 107.5 Hz in the downswing',
    change: mapped(['downswing_ms'], (x) => Math.round(x * 0.1075)),
    column: 'downswing_ms',
    severity: 'error',
    words: ['frames'],
  },
  {
    what: 'time from impact for time before it',
    change: scaled('release_onset_ms', -1),
    column: 'release_onset_ms',
    severity: 'error',
    words: ['minus sign'],
  },
  {
    what: 'a fraction for per cent',
    change: scaled('release_timing_pct', 1 / 100),
    column: 'release_timing_pct',
    severity: 'error',
    words: ['fraction'],
  },
  {
    what: 'a fraction for the intended speed',
    change: scaled('speed_intent_pct', 1 / 100),
    column: 'speed_intent_pct',
    severity: 'error',
    words: ['fraction'],
  },
  {
    what: 'millimetres in the low point',
    change: scaled('low_point_cm', 10),
    column: 'low_point_cm',
    severity: 'error',
    words: ['millimetres'],
  },
  {
    what: 'inches in the low point',
    change: scaled('low_point_cm', 1 / INCH),
    column: 'low_point_cm',
    severity: 'warning',
    words: ['inches', '2.54'],
  },
  {
    what: 'the sign of the low point turned round',
    change: scaled('low_point_cm', -1),
    column: 'low_point_cm',
    severity: 'warning',
    words: ['opposite sign'],
  },
  {
    what: 'the sign of the attack angle turned round',
    change: scaled('attack_angle_deg', -1),
    column: 'low_point_cm',
    severity: 'warning',
    words: ['opposite sign', 'attack_angle_deg'],
  },
  {
    what: 'ball speed in the club speed column',
    change: (swing) => ({ ...swing, club_speed_mps: swing.ball_speed_mps }),
    column: 'club_speed_mps',
    severity: 'warning',
    words: ['ball speed'],
  },
  {
    what: 'club and ball speed changed over',
    change: (swing) => ({
      ...swing,
      club_speed_mps: swing.ball_speed_mps,
      ball_speed_mps: swing.club_speed_mps,
    }),
    column: 'club_speed_mps',
    severity: 'warning',
    words: ['changed over'],
  },
  {
    what: 'smash factor the other way up',
    change: mapped(['smash_factor'], (x) => 1 / x),
    column: 'smash_factor',
    severity: 'warning',
    words: ['club speed divided by ball speed'],
  },
  {
    what: 'the sign of the transition change turned round',
    change: scaled('transition_elbow_change_deg', -1),
    column: 'transition_elbow_change_deg',
    severity: 'warning',
    words: ['sign'],
  },
];

describe('a column in another unit or convention', () => {
  it.each(CASES)('$what', ({ change, column, severity, words }) => {
    const found = check(change).filter((problem) => problem.row === null && problem.kind === 'suspect-unit');
    const named = found.filter((problem) => problem.column === column);
    expect(named.length).toBeGreaterThan(0);
    expect(named[0]).toMatchObject({ severity, table: 'swings' });
    const said = named.map(({ remedy }) => remedy).join(' ');
    for (const word of words) expect(said).toContain(word);
  });
});

describe('what a column says must be said of enough values', () => {
  it('nothing is concluded from four swings', () => {
    const problems = datasetFromRows({
      golfers: [{ golfer_id: 'G01', plays: 'right' }],
      sessions: [{ session_id: 'S1', golfer_id: 'G01', date: '2026-03-04', phase: 'baseline' }],
      swings: SWINGS.slice(0, 4).map(scaled('shaft_lean_impact_deg', DEGREE)),
    }).problems;
    expect(problems).toEqual([]);
  });

  it('chips, which are slow, do not make full swings look wrong', () => {
    const chips = SWINGS.map((swing, index) => ({
      ...swing,
      swing_id: `C${index}`,
      order_in_session: 100 + index,
      task: 'chip' as const,
      club_speed_mps: 9,
      ball_speed_mps: 9.1,
      hand_speed_peak_mps: 3,
      smash_factor: 1.01,
    }));
    const problems = datasetFromRows({
      golfers: [{ golfer_id: 'G01', plays: 'right' }],
      sessions: [{ session_id: 'S1', golfer_id: 'G01', date: '2026-03-04', phase: 'baseline' }],
      swings: [...SWINGS, ...chips],
    }).problems;
    expect(problems).toEqual([]);
  });
});

describe('zeros in place of blanks', () => {
  it('in a column where 0 can be a value', () => {
    const problems = check((swing) =>
      swing.order_in_session <= 5 ? { ...swing, shaft_lean_impact_deg: 0 } : swing,
    );
    expect(problems).toEqual([
      expect.objectContaining({
        kind: 'suspect-missing-code',
        severity: 'warning',
        row: null,
        column: 'shaft_lean_impact_deg',
        found: '5 of 8 values are exactly 0',
      }),
    ]);
  });

  it('not where 0 is an ordinary value', () => {
    const problems = check((swing) => ({
      ...swing,
      elbow_recoil_deg: 0,
      trail_elbow_flexion_peak_deg: swing.trail_elbow_flexion_top_deg,
    }));
    expect(problems).toEqual([]);
  });
});

describe('one swing that contradicts itself', () => {
  it('has its largest bend below the bend at the top', () => {
    const problems = check((swing) =>
      swing.order_in_session === 3 ? { ...swing, trail_elbow_flexion_peak_deg: 80 } : swing,
    );
    expect(problems).toEqual([
      expect.objectContaining({
        kind: 'out-of-range',
        severity: 'warning',
        row: 4,
        column: 'trail_elbow_flexion_peak_deg',
        found: '80',
      }),
    ]);
  });
});

describe('a swing pasted twice under another id', () => {
  const pasted = (swing: RowInput<SwingRow>) =>
    swing.swing_id === 'W5' ? { ...SWINGS[1]!, swing_id: 'W5', order_in_session: 6 } : swing;

  it('is found by its numbers', () => {
    expect(check(pasted)).toEqual([
      expect.objectContaining({
        kind: 'duplicate-key',
        severity: 'warning',
        table: 'swings',
        row: 7,
        column: 'swing_id',
        found: 'W5',
        expected: 'numbers of its own; every number is that of line 3',
      }),
    ]);
  });

  it('is not suspected where one number differs, or too few were measured', () => {
    expect(
      check((swing) => (swing.swing_id === 'W5' ? { ...pasted(swing), club_speed_mps: 36.15 } : swing)),
    ).toEqual([]);
    const few = SWINGS.map(({ swing_id, session_id, order_in_session, task }) => ({
      ...{ swing_id, session_id, order_in_session, task },
      shaft_lean_impact_deg: 5.5,
      club_speed_mps: 36.5,
      attack_angle_deg: -3.5,
    }));
    const problems = datasetFromRows({
      golfers: [{ golfer_id: 'G01', plays: 'right' }],
      sessions: [{ session_id: 'S1', golfer_id: 'G01', date: '2026-03-04', phase: 'baseline' }],
      swings: few,
    }).problems;
    expect(problems).toEqual([]);
  });
});
