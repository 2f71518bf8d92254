import { describe, expect, it } from 'vitest';
import { datasetFromRows } from '../../../src/dataset/index.ts';
import { mainChange } from '../../../src/studies/one-golfer/analysis/change.ts';
import { noiseSources } from '../../../src/studies/one-golfer/analysis/noise.ts';
import { golferSeries, valuesBySession } from '../../../src/studies/one-golfer/input/series.ts';
import { rosterSessions, rosterSwings } from '../../../src/studies/shared/roster.ts';
import { verdictOf } from '../../../src/studies/shared/standing.ts';
import { generateCohort, loadRecipe } from '../../../src/synthetic/index.ts';

const COLUMN = 'lag_delivery_deg';

/** The study's change on cohorts of a recipe, against the change planted in the very golfers. */
async function recovered(name: string, cohorts: number) {
  const read = await loadRecipe(name);
  if (!read.valid) throw new Error(name);
  const found: { readonly off: number; readonly holds: boolean; readonly meaningful: boolean }[] = [];
  for (let seed = 1; seed <= cohorts; seed++) {
    const { tables, truth } = generateCohort(read.recipe, seed);
    const dataset = datasetFromRows(tables);
    if (!dataset.valid) continue;
    const sessions = rosterSessions(dataset.value);
    const values = valuesBySession(rosterSwings(dataset.value, COLUMN));
    const planted = truth.series!.golfers;
    const series = planted.map(({ golfer_id: golfer }) => golferSeries(golfer, sessions, values, null));
    const { value, interval } = mainChange(series, noiseSources(series, sessions, values), 0.95);
    const changes = planted.map(({ change }) => change[COLUMN] ?? 0);
    const true_ = changes.reduce((sum, change) => sum + change, 0) / changes.length;
    found.push({
      off: value! - true_,
      holds: interval![0] <= true_ && true_ <= interval![1],
      meaningful: verdictOf(interval, { value: 1, goodDirection: 1 }) === 'meaningful',
    });
  }
  const n = found.length;
  const off = found.reduce((sum, one) => sum + one.off, 0) / n;
  const spread = Math.sqrt(found.reduce((sum, one) => sum + (one.off - off) ** 2, 0) / (n - 1));
  return {
    n,
    off,
    error: spread / Math.sqrt(n),
    share: (of: 'holds' | 'meaningful') => found.filter((one) => one[of]).length / n,
  };
}

describe('planted changes are recovered', () => {
  it.each([
    ['single-golfer', 60],
    ['single-golfer-abab', 60],
    ['multiple-baseline', 40],
  ] as const)('%s', async (name, cohorts) => {
    const { n, off, error, share } = await recovered(name, cohorts);
    expect(n).toBeGreaterThan(0.9 * cohorts);
    expect(Math.abs(off)).toBeLessThan(3.5 * error);
    // 0.95 less three Monte Carlo errors of so many cohorts.
    expect(share('holds')).toBeGreaterThan(0.95 - 3 * Math.sqrt((0.95 * 0.05) / n));
  });
  it('a golfer who gets better anyway is not sold as a change that came with the training', async () => {
    const { share } = await recovered('single-golfer-trend', 60);
    expect(share('meaningful')).toBeLessThan(0.12);
  });
});
