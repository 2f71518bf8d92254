import { describe, expect, it } from 'vitest';
import { type } from './harness.ts';

describe('ask --golfer-pages', () => {
  it('is refused in words without a folder, and for a study that is not of golfers in two phases', async () => {
    const nowhere = await type('ask', 'drill-trial', '--data', 'roster', '--golfer-pages');
    expect(nowhere.exit).toBe(2);
    expect(nowhere.err).toContain('name a new folder with --out');
    const other = await type('ask', 'noise', '--data', 'roster', '--out', 'report', '--golfer-pages');
    expect(other.exit).toBe(2);
    expect(other.err).toContain('leave --golfer-pages out, or ask drill-trial');
  });
});
