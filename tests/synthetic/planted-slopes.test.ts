import { beforeAll, describe, expect, it } from 'vitest';
import { type Cohort, generateCohort, type Recipe } from '../../src/synthetic/index.ts';
import { averaged, mean, variance } from './summaries.ts';
import { variant } from './variant.ts';

// What is planted must be found by plain least squares on the tables. Limits are 4 standard errors: slopes of golfers
// are independent repetitions, whose mean has the standard error SD / sqrt(golfers). Seeds are fixed.

const whole = { missing: { valueShare: 0, visitShare: 0 } };

interface Swing {
  readonly x: number;
  readonly y: number;
}

/** Swings of each golfer as pairs of values. */
function pairs({ tables }: Cohort, x: string, y: string): Map<string, Swing[]> {
  const golferOf = new Map(tables.sessions.map(({ session_id, golfer_id }) => [session_id, golfer_id]));
  const byGolfer = new Map<string, Swing[]>();
  for (const swing of tables.swings) {
    const row = swing as unknown as Record<string, number>;
    const golfer = golferOf.get(swing.session_id)!;
    const list = byGolfer.get(golfer) ?? [];
    list.push({ x: row[x]!, y: row[y]! });
    byGolfer.set(golfer, list);
  }
  return byGolfer;
}

function sums(swings: readonly Swing[]) {
  const [cx, cy] = [mean(swings.map(({ x }) => x)), mean(swings.map(({ y }) => y))];
  return {
    xx: swings.reduce((sum, { x }) => sum + (x - cx) ** 2, 0),
    xy: swings.reduce((sum, { x, y }) => sum + (x - cx) * (y - cy), 0),
    cx,
    cy,
  };
}

/** Pooled slope within golfers, with its standard error by the jackknife over golfers in its linear form. */
function withinSlope(cohort: Cohort, x: string, y: string) {
  const each = [...pairs(cohort, x, y).values()].map(sums);
  const [xx, xy] = [mean(each.map((s) => s.xx)), mean(each.map((s) => s.xy))];
  const slope = xy / xx;
  const residuals = each.map((s) => (s.xy - slope * s.xx) / xx);
  return { slope, standardError: Math.sqrt(variance(residuals) / each.length) };
}

/** Slope over golfers' means; residuals differ with skill, so the standard error is the one robust to that (HC0). */
function betweenSlope(cohort: Cohort, x: string, y: string) {
  const means = [...pairs(cohort, x, y).values()].map(sums).map(({ cx, cy }) => ({ x: cx, y: cy }));
  const { xx, xy, cx, cy } = sums(means);
  const slope = xy / xx;
  const score = means.reduce((sum, p) => sum + ((p.x - cx) * (p.y - cy - slope * (p.x - cx))) ** 2, 0);
  return { slope, standardError: Math.sqrt(score) / xx };
}

const close = (found: { slope: number; standardError: number }, planted: number, label: string) =>
  expect(Math.abs(found.slope - planted), `${label}: found ${found.slope}, planted ${planted}`).toBeLessThan(
    4 * found.standardError + 1e-9,
  );

describe.each(['confounded', 'between-only', 'mechanism-paths', 'errors-in-predictors'])('%s', (name) => {
  let recipe: Recipe;
  let cohort: Cohort;
  beforeAll(async () => {
    recipe = await variant(name, { ...whole, roster: { golfers: 600 } });
    cohort = generateCohort(recipe, 41);
  }, 60_000);

  it('slopes on measured values, within golfers and between them, are those of truth.json', () => {
    for (const truth of cohort.truth.mechanism!.associations) {
      const { predictor, outcome } = truth;
      const label = `${predictor} -> ${outcome}`;
      close(withinSlope(cohort, predictor, outcome), truth.withinMeasured, `within ${label}`);
      close(betweenSlope(cohort, predictor, outcome), truth.betweenMeasured, `between ${label}`);
    }
  });

  it('a standard error is small enough to see what is planted', () => {
    const elbow = cohort.truth.mechanism!.associations.find(
      ({ outcome }) => outcome === 'shaft_lean_impact_deg',
    )!;
    const within = withinSlope(cohort, elbow.predictor, elbow.outcome);
    const between = betweenSlope(cohort, elbow.predictor, elbow.outcome);
    expect(within.standardError).toBeLessThan(0.01);
    expect(between.standardError).toBeLessThan(0.05);
    if (name === 'confounded' || name === 'between-only') {
      expect(elbow.within).toBe(0);
      expect(Math.abs(elbow.between)).toBeGreaterThan(8 * between.standardError);
    } else expect(Math.abs(elbow.within - elbow.between)).toBeGreaterThan(8 * within.standardError);
  });
});

describe('mechanism-paths', () => {
  let cohort: Cohort;
  beforeAll(async () => {
    cohort = generateCohort(await variant('mechanism-paths', { ...whole, roster: { golfers: 600 } }), 43);
  }, 60_000);

  const [elbow, release, lean] = [
    'transition_elbow_change_deg',
    'release_onset_ms',
    'shaft_lean_impact_deg',
  ] as const;

  it('each golfer’s own slopes have the planted mean, SD and covariance, and so the indirect effect', () => {
    const { paths, indirect } = cohort.truth.mechanism!;
    const planted = (from: string, to: string) => paths.find((path) => path.from === from && path.to === to)!;
    const first = pairs(cohort, elbow, release);
    const onElbow = pairs(cohort, elbow, lean);
    const onRelease = pairs(cohort, release, lean);
    // With 60 swings of a golfer: lean on elbow and release together, by the normal equations of two predictors.
    const golfers = [...first.keys()].map((golfer) => {
      const [a, e, r] = [sums(first.get(golfer)!), sums(onElbow.get(golfer)!), sums(onRelease.get(golfer)!)];
      return { a: a.xy / a.xx, b: (r.xy * e.xx - e.xy * a.xy) / (e.xx * r.xx - a.xy ** 2) };
    });
    const within = (found: { mean: number; standardError: number }, truth: number) =>
      expect(Math.abs(found.mean - truth)).toBeLessThan(4 * found.standardError);
    const slopes = { a: planted(elbow, release), b: planted(release, lean) };
    within(averaged(golfers.map(({ a }) => a)), slopes.a.within);
    // Measured almost without error: what error there is flattens this slope by less than 0.1 %.
    within(averaged(golfers.map(({ b }) => b)), slopes.b.within);
    // a and b of a golfer are estimated with independent errors, so the mean of their product is the indirect effect.
    const chain = indirect.find(({ through }) => through.join() === [elbow, release, lean].join())!;
    within(averaged(golfers.map(({ a, b }) => a * b)), chain.within);
    expect(chain.within).toBeCloseTo(chain.product + chain.covariance, 12);
    expect(chain.product).toBeCloseTo(slopes.a.within * slopes.b.within, 12);
    const [meanA, meanB] = [mean(golfers.map(({ a }) => a)), mean(golfers.map(({ b }) => b))];
    within(averaged(golfers.map(({ a, b }) => (a - meanA) * (b - meanB))), -0.6 * 0.35 * 0.04);
    expect(chain.covariance).toBeCloseTo(-0.6 * 0.35 * 0.04, 12);
  });

  it('log odds of a better rating go up with lean by the planted slope', () => {
    const { logOddsPerLeanDeg, logOddsAboveAtLean0 } = cohort.truth.mechanism!.strikeRating!;
    const swings = cohort.tables.swings as unknown as Record<string, number>[];
    logOddsAboveAtLean0.forEach((intercept, k) => {
      // Counts above each rating in narrow bands of lean, against the logit at the swings' own lean.
      for (let band = 0; band < 12; band++) {
        const inside = swings.filter((row) => Math.floor(row.shaft_lean_impact_deg!) === band);
        const chance = inside.map(
          (row) => 1 / (1 + Math.exp(-(intercept + logOddsPerLeanDeg * row.shaft_lean_impact_deg!))),
        );
        const above = inside.filter((row) => row.strike_rating! > k + 1).length;
        const expected = chance.reduce((sum, p) => sum + p, 0);
        const spread = Math.sqrt(chance.reduce((sum, p) => sum + p * (1 - p), 0));
        expect(Math.abs(above - expected)).toBeLessThan(4 * spread + 0.01 * inside.length);
      }
    });
  });
});
