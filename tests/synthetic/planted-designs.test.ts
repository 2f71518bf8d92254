import { beforeAll, describe, expect, it } from 'vitest';
import { type Cohort, generateCohort } from '../../src/synthetic/index.ts';
import { averaged, mean, phaseMeans, variance } from './summaries.ts';
import { variant } from './variant.ts';

// What is planted must be found by plain arithmetic on the tables; limits are 4 standard errors. Seeds are fixed.

const whole = { missing: { valueShare: 0, visitShare: 0 } };
const near = (values: readonly number[], planted: number, label = '') => {
  const found = averaged(values);
  expect(Math.abs(found.mean - planted), `${label} ${found.mean} against ${planted}`).toBeLessThan(
    4 * found.standardError,
  );
};
const LEAN = 'shaft_lean_impact_deg';
const ELBOW = 'transition_elbow_change_deg';

describe('instructors', () => {
  /** Gain of each golfer from baseline to post, less what everybody gains at that handicap, by instructor. */
  function gains({ tables }: Cohort, perStroke: number, meanHandicap: number) {
    const instructor = new Map(tables.sessions.map((row) => [row.golfer_id, row.instructor_id!]));
    const handicap = new Map(tables.golfers.map((row) => [row.golfer_id, row.handicap_index!]));
    const by = new Map<string, number[]>();
    for (const [golfer, phases] of phaseMeans(tables, LEAN, 'full')) {
      const gain = phases.get('post')! - phases.get('baseline')!;
      const own = gain - perStroke * (handicap.get(golfer)! - meanHandicap);
      by.set(instructor.get(golfer)!, [...(by.get(instructor.get(golfer)!) ?? []), own]);
    }
    return by;
  }

  it.each(['instructors-none', 'instructors-some'])(
    '%s: the mean gain of the pupils of each is that of practice and the effect planted',
    async (name) => {
      const pupils = [300, 100, 200, 150, 80, 250, 120, 160];
      const recipe = await variant(name, { ...whole, roster: { golfers: 1360 }, teaching: { pupils } });
      const cohort = generateCohort(recipe, 3);
      const { instructors, sd, gainPerStroke } = cohort.truth.teaching!;
      const by = gains(cohort, gainPerStroke, recipe.roster.handicap.mean);
      const practice = recipe.learning.practice;
      // Practice gains lean of its own and through the elbow: by the release (1.1 x -0.14) and directly (-0.12).
      const all = practice[LEAN]!.mean + practice[ELBOW]!.mean * (1.1 * -0.14 - 0.12);
      expect(instructors.map((one) => one.pupils)).toEqual(pupils);
      for (const { instructor_id, effect } of instructors)
        near(by.get(instructor_id)!, all + effect, instructor_id);
      const sorted = [...instructors].sort((a, b) => b.effect - a.effect);
      if (sd === 0) for (const { effect, rank } of instructors) expect([effect, rank]).toEqual([0, 1]);
      else expect(sorted.map(({ rank }) => rank)).toEqual([1, 2, 3, 4, 5, 6, 7, 8]);
      // Those named first have the better players.
      const order = recipe.teaching!.betterPlayersFirst.map(
        (number) => instructors[number - 1]!.meanHandicap,
      );
      expect(order).toEqual([...order].sort((a, b) => a - b));
    },
    30_000,
  );

  it('the effects of many cohorts have the planted SD and the mean 0', async () => {
    const recipe = await variant('instructors-some', {
      roster: { golfers: 8 },
      teaching: { pupils: [1, 1, 1, 1, 1, 1, 1, 1] },
      session: { fullSwings: 1 },
    });
    const effects = Array.from({ length: 250 }, (_, seed) => generateCohort(recipe, seed)).flatMap(
      ({ truth }) => truth.teaching!.instructors.map(({ effect }) => effect),
    );
    near(effects, 0);
    // The relative standard error of an SD from n normal numbers is 1 / sqrt(2 n).
    expect(Math.abs(Math.sqrt(variance(effects)) / 1.5 - 1)).toBeLessThan(4 / Math.sqrt(2 * effects.length));
  }, 30_000);
});

describe('two devices', () => {
  let cohort: Cohort;
  const columns = ['trail_elbow_flexion_top_deg', 'lag_delivery_deg', LEAN, 'club_speed_mps'];
  beforeAll(async () => {
    cohort = generateCohort(await variant('noise-two-devices', { ...whole, roster: { golfers: 250 } }), 8);
  }, 60_000);

  /** Values by golfer, date, device and place in the visit. */
  function values(column: string) {
    const sessions = new Map(cohort.tables.sessions.map((row) => [row.session_id, row]));
    const found = new Map<string, number>();
    for (const swing of cohort.tables.swings) {
      const { golfer_id, date, device } = sessions.get(swing.session_id)!;
      found.set(
        `${golfer_id} ${date} ${device} ${swing.order_in_session}`,
        (swing as unknown as Record<string, number>)[column]!,
      );
    }
    return found;
  }

  it('differences on one swing have the planted mean and SD', () => {
    for (const column of columns) {
      const found = values(column);
      const visits = new Map<string, number[]>();
      for (const [key, value] of found) {
        if (!key.includes(' markers ')) continue;
        const [golfer, date, , order] = key.split(' ');
        const other = found.get(`${golfer} ${date} markerless ${order}`)!;
        const visit = `${golfer} ${date}`;
        visits.set(visit, [...(visits.get(visit) ?? []), other - value]);
      }
      const { difference } = cohort.truth.devices!;
      // Placement is shared by a visit, so visits are the independent repetitions.
      near([...visits.values()].map(mean), difference.mean[column]!, column);
      const total =
        variance([...visits.values()].map(mean)) + mean([...visits.values()].map(variance)) * (7 / 8);
      expect(Math.abs(Math.sqrt(total) / difference.sd[column]! - 1), column).toBeLessThan(0.08);
    }
  });

  it.each([0, 1])('components of device %i, by mean squares', (at) => {
    const { name, bias, components } = cohort.truth.devices!.devices[at]!;
    const sessions = cohort.tables.sessions.filter(({ device }) => device === name);
    for (const column of columns) {
      const bySession = new Map(sessions.map(({ session_id }) => [session_id, [] as number[]]));
      for (const swing of cohort.tables.swings)
        bySession.get(swing.session_id)?.push((swing as unknown as Record<string, number>)[column]!);
      const byGolfer = new Map<string, number[]>();
      for (const { golfer_id, session_id } of sessions)
        byGolfer.set(golfer_id, [...(byGolfer.get(golfer_id) ?? []), mean(bySession.get(session_id)!)]);
      const { golfer, sessionForm, sessionPlacement, swingTrue, swingError, semSameVisit, semAnyVisit } =
        components[column]!;
      const [session, swing] = [sessionForm + sessionPlacement, swingTrue + swingError];
      // Swings of better players vary less, so mean squares spread more than normal ones: 1.3 covers it.
      const relative = (df: number) => 1.3 * 4 * Math.sqrt(2 / df);
      const swingMs = mean([...bySession.values()].map(variance));
      const sessionMs = 8 * mean([...byGolfer.values()].map(variance));
      const golferMs = 32 * variance([...byGolfer.values()].map(mean));
      expect(Math.abs(swingMs / swing - 1)).toBeLessThan(relative(250 * 4 * 7));
      expect(Math.abs(sessionMs / (8 * session + swing) - 1)).toBeLessThan(relative(250 * 3));
      expect(Math.abs(golferMs / (32 * golfer + 8 * session + swing) - 1)).toBeLessThan(relative(249));
      expect(semSameVisit).toBeCloseTo(Math.sqrt(swing), 9);
      expect(semAnyVisit).toBeCloseTo(Math.sqrt(session + swing), 9);
    }
    expect(bias[LEAN] ?? 0).toBe(at === 0 ? 0 : 1.2);
    expect(bias.dynamic_loft_deg).toBe(at === 0 ? 0 : -1.2);
  });

  it('by turns: every other visit is the other device’s', async () => {
    const { tables, truth } = generateCohort(await variant('noise-devices-by-visit', whole), 2);
    expect(truth.devices!.pairing).toBe('alternate-visits');
    for (const { golfer_id } of tables.golfers)
      expect(
        tables.sessions.filter((row) => row.golfer_id === golfer_id).map(({ device }) => device),
      ).toEqual(Array.from({ length: 6 }, (_, at) => (at % 2 === 0 ? 'markers' : 'markerless')));
  });
});

describe('series of sessions', () => {
  const sessionMeans = ({ tables }: Cohort, column: string) => {
    const golfers = new Map<string, { phase: string; value: number }[]>();
    const values = new Map(tables.sessions.map(({ session_id }) => [session_id, [] as number[]]));
    for (const swing of tables.swings)
      values.get(swing.session_id)!.push((swing as unknown as Record<string, number>)[column]!);
    for (const session of tables.sessions) {
      const value = mean(values.get(session.session_id)!);
      const list = golfers.get(session.golfer_id) ?? [];
      list.push({ phase: session.phase, value });
      golfers.set(session.golfer_id, list);
    }
    return golfers;
  };

  it.each(['single-golfer', 'single-golfer-abab', 'multiple-baseline'])(
    '%s: training less baseline is the change of each golfer',
    async (name) => {
      const recipe = await variant(name, { ...whole, roster: { golfers: 80 } });
      const cohort = generateCohort(recipe, 12);
      const means = sessionMeans(cohort, ELBOW);
      const misses = cohort.truth.series!.golfers.map(({ golfer_id, change, stretches }) => {
        const sessions = means.get(golfer_id)!;
        expect(sessions.map(({ phase }) => phase)).toEqual(
          stretches.flatMap(({ phase, sessions: n }) => Array(n).fill(phase)),
        );
        const of = (phase: string) =>
          mean(sessions.filter((one) => one.phase === phase).map((one) => one.value));
        return of('training') - of('baseline') - change[ELBOW]!;
      });
      near(misses, 0, name);
      expect(averaged(misses).standardError).toBeLessThan(0.15);
      near(
        cohort.truth.series!.golfers.map(({ change }) => change[ELBOW]!),
        -6,
      );
    },
    30_000,
  );

  it('a trend is the same from session to session, and the day’s form takes after the day before', async () => {
    const recipe = await variant('single-golfer-trend', {
      ...whole,
      roster: { golfers: 300 },
      session: { fullSwings: 3 },
      placement: [],
      metrics: { [ELBOW]: { swingSd: { skilled: 0, lessSkilled: 0 }, measurementSd: 0 } },
    });
    const cohort = generateCohort(recipe, 5);
    const { golfers, autocorrelation } = cohort.truth.series!;
    expect(golfers[0]!.trendPerSession[ELBOW]).toBeCloseTo(-5 / 23, 10);
    const means = sessionMeans(cohort, ELBOW);
    near(
      golfers.map(({ golfer_id }) => {
        const sessions = means.get(golfer_id)!;
        return (sessions.at(-1)!.value - sessions[0]!.value) / 23;
      }),
      -5 / 23,
    );
    // Form of the day: what is left of the elbow after the planted trend, once swings and errors are taken away.
    // Moments over golfers of one day and the next, so that no mean of a short series bends them.
    const left = golfers.map(({ golfer_id }) =>
      means.get(golfer_id)!.map(({ value }, at) => value + (5 / 23) * at),
    );
    const step = left.map((series) => mean(series.slice(1).map((value, at) => (value - series[at]!) ** 2)));
    // E (form_t - form_t-1)^2 = 2 sd^2 (1 - autocorrelation).
    const { sessionSd } = recipe.metrics[ELBOW];
    near(step, 2 * sessionSd ** 2 * (1 - autocorrelation));
    const twoSteps = left.map((series) =>
      mean(series.slice(2).map((value, at) => (value - series[at]!) ** 2)),
    );
    near(twoSteps, 2 * sessionSd ** 2 * (1 - autocorrelation ** 2));
  }, 30_000);

  it('the drill of a series without effect does nothing', async () => {
    const { truth } = generateCohort(await variant('single-golfer-trend'), 1);
    for (const change of Object.values(truth.series!.golfers[0]!.change)) expect(change).toBe(0);
  });
});

describe('curves', () => {
  const meansByArm = (cohort: Cohort, quantity: string, phase: string) => {
    const session = new Map(cohort.tables.sessions.map((row) => [row.session_id, row]));
    const swing = new Map(cohort.tables.swings.map((row) => [row.swing_id, session.get(row.session_id)!]));
    const arm = new Map(cohort.tables.assignments.map((row) => [row.golfer_id, row.arm]));
    const golfers = new Map<string, Float64Array[]>();
    for (const curve of cohort.curves) {
      const { golfer_id, phase: when } = swing.get(curve.swing_id)!;
      if (curve.quantity !== quantity || when !== phase) continue;
      golfers.set(golfer_id, [...(golfers.get(golfer_id) ?? []), curve.values]);
    }
    const means = [...golfers].map(([golfer, curves]) => ({
      arm: arm.get(golfer)!,
      curve: Array.from({ length: 101 }, (_, pct) => mean(curves.map((values) => values[pct]!))),
    }));
    return (which: string) => means.filter((one) => one.arm === which).map(({ curve }) => curve);
  };

  it.each(['trail_elbow_flexion', 'lag_angle'])(
    '%s: the arms differ at post by a raised cosine in the window and nowhere else',
    async (quantity) => {
      const recipe = await variant('waveform-window', { ...whole, roster: { golfers: 300 } });
      const cohort = generateCohort(recipe, 21);
      const truth = cohort.truth.curves!.find((one) => one.quantity === quantity)!;
      for (const phase of ['baseline', 'post']) {
        const byArm = meansByArm(cohort, quantity, phase);
        const [drill, control] = [byArm('drill'), byArm('control')];
        for (let pct = 0; pct <= 100; pct++) {
          const [a, b] = [averaged(drill.map((c) => c[pct]!)), averaged(control.map((c) => c[pct]!))];
          const turn = (pct - truth.fromPct) / (truth.toPct - truth.fromPct);
          const planted =
            phase === 'post' && turn > 0 && turn < 1
              ? truth.peakDifference_deg * Math.sin(Math.PI * turn) ** 2
              : 0;
          // 4.5: there are four hundred such comparisons, though those near each other go together.
          expect(Math.abs(a.mean - b.mean - planted), `${quantity} ${phase} ${pct} %`).toBeLessThan(
            4.5 * Math.hypot(a.standardError, b.standardError),
          );
        }
      }
    },
    60_000,
  );

  it('go through the values of the table at their instants, apart from errors', async () => {
    const exact = { golferSd: 4, sessionSd: 1, swingSd: 2, sampleSd: 0 };
    const recipe = await variant('waveform-window', {
      ...whole,
      placement: [],
      metrics: Object.fromEntries(
        ['trail_elbow_flexion_top_deg', ELBOW, 'trail_elbow_flexion_impact_deg', 'lag_delivery_deg'].map(
          (metric) => [metric, { measurementSd: 0 }],
        ),
      ),
      curves: { trail_elbow_flexion: exact, lag_angle: exact },
    });
    const { tables, curves } = generateCohort(recipe, 4);
    const rows = new Map(
      tables.swings.map((row) => [row.swing_id, row as unknown as Record<string, number>]),
    );
    for (const { swing_id, quantity, values } of curves) {
      const row = rows.get(swing_id)!;
      const at: [number, string][] =
        quantity === 'lag_angle'
          ? [[80, 'lag_delivery_deg']]
          : [
              [0, 'trail_elbow_flexion_top_deg'],
              [100, 'trail_elbow_flexion_impact_deg'],
            ];
      for (const [pct, column] of at) expect(Math.abs(values[pct]! - row[column]!)).toBeLessThan(0.0501);
    }
  });

  it('without a window truth names none', async () => {
    expect(generateCohort(await variant('waveform-no-window'), 1).truth.curves).toEqual([]);
  });
});
