/** What changes with thousands of golfers: fewer refits, a page that names some of them, no call with an argument for each. */
import { beforeAll, describe, expect, it } from 'vitest';
import { datasetFromRows, type SwingSums } from '../../src/dataset/index.ts';
import { golferParts } from '../../src/report/drill-trial/golfer-rows.ts';
import { reportFiles } from '../../src/report/index.ts';
import { type DrillTrialTables, drillTrial, type Finding } from '../../src/studies/index.ts';
import { sessionCorrelations } from '../../src/studies/noise/correlations.ts';

const METRIC = 'shaft_lean_impact_deg';
const GOLFERS = 5010;
/** Planted: golfers who do the drill end so much higher. */
const EFFECT = 1.5;

/** A number between -1 and 1 that looks like chance (the fractional part of a sine, common practice, no source). */
function scatter(k: number): number {
  const x = Math.sin(k * 12.9898) * 43758.5453;
  return 2 * (x - Math.floor(x)) - 1;
}

function trialOfThousands(): { dataset: Parameters<typeof drillTrial>[0]; sums: SwingSums } {
  const ids = Array.from({ length: GOLFERS }, (_, g) => `G${String(g).padStart(5, '0')}`);
  const sessions = ids.flatMap((golfer) => [
    { session_id: `${golfer}-1`, golfer_id: golfer, date: '2026-01-05', phase: 'baseline' },
    { session_id: `${golfer}-2`, golfer_id: golfer, date: '2026-04-06', phase: 'post' },
  ]);
  const dataset = datasetFromRows({
    golfers: ids.map((golfer_id) => ({ golfer_id, plays: 'right' })),
    sessions,
    swings: [{ swing_id: 'W1', session_id: `${ids[0]}-1`, task: 'full', order_in_session: 1, [METRIC]: 4 }],
    assignments: ids.map((golfer_id, g) => ({
      golfer_id,
      trial_id: 'T1',
      arm: g % 2 === 0 ? 'drill' : 'control',
      assigned_on: '2026-02-01',
    })),
  } as unknown as Parameters<typeof datasetFromRows>[0]);
  if (!dataset.valid) throw new Error(JSON.stringify(dataset.problems.slice(0, 3)));
  const n = sessions.length;
  const mean = Float64Array.from(sessions, ({ phase }, s) => {
    const g = s >> 1;
    return 4 + 2 * scatter(g + 1) + scatter(s + 7000) + (phase === 'post' && g % 2 === 0 ? EFFECT : 0);
  });
  return {
    dataset: dataset.value,
    sums: {
      column: METRIC,
      rows: 25 * n,
      groups: {
        session: sessions.map(({ session_id }) => session_id),
        task: sessions.map(() => 'full'),
        missing: new Float64Array(n),
        count: new Float64Array(n).fill(25),
        mean,
        squares: new Float64Array(n).fill(24 * 9),
        least: mean.map((value) => value - 6),
        most: mean.map((value) => value + 6),
      },
    },
  };
}

describe('a drill trial of more than five thousand golfers', () => {
  let finding: Finding;
  beforeAll(() => {
    const { dataset, sums } = trialOfThousands();
    const outcome = drillTrial(dataset, { metric: METRIC, swingSums: sums });
    if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
    finding = outcome.finding;
  }, 120_000);

  it('finds what was planted', () => {
    const [low, high] = finding.estimates[0]!.interval;
    expect(low).toBeLessThan(EFFECT);
    expect(high).toBeGreaterThan(EFFECT);
    expect(finding.verdict).toBe('meaningful');
  });

  it('is refitted three times, without the golfers farthest from their arm', () => {
    const left = finding.sensitivity.find(({ name }) => name === 'leave one golfer out');
    expect(left?.what).toContain(`Refitted 3 times, each time without one golfer (of ${GOLFERS}`);
  });

  it('says that nobody judged the swings one by one', () => {
    expect(finding.warnings[0]).toContain(`${25 * 2 * GOLFERS} swings were summed by session`);
  });

  it('draws forty golfers of an arm of thousands, and lists every one of them in a table', () => {
    const files = reportFiles(finding);
    expect(files['golfers.csv']!.trim().split('\n')).toHaveLength(GOLFERS + 1);
    const page = files['drill-trial.html']!;
    // Not by toContain: a page of megabytes is no message.
    expect(page.includes('were summed by session')).toBe(true);
    for (const arm of ['drill', 'control']) {
      const parts = golferParts(finding as Finding<DrillTrialTables>).flat();
      const own = parts.filter(({ style }) => style.arm === arm).flatMap(({ golfers }) => golfers);
      expect(own).toHaveLength(40);
    }
  });
});

describe('no call with an argument for each golfer', () => {
  it('correlates the sessions of 200,000 golfers', () => {
    const rows = Array.from({ length: 200_000 }, (_, g) => g).flatMap((g) =>
      [1, 2].map((visit) => ({
        golfer: `G${g}`,
        session: `G${g}-${visit}`,
        date: `2026-0${visit}-01`,
        value: 2 * scatter(g + 1) + scatter(2 * g + visit),
      })),
    );
    const found = sessionCorrelations({ rows } as unknown as Parameters<typeof sessionCorrelations>[0], 0.95);
    expect(found?.golfers).toBe(200_000);
    // Variances 4/3 between golfers and 1/3 within: an intraclass correlation of 0.8 by arithmetic.
    expect(found?.rows[0]?.estimate).toBeCloseTo(0.8, 1);
  }, 60_000);
});
