import { describe, expect, it } from 'vitest';
import { figureSvg, findingPage, oneGolferFigures } from '../../src/report/index.ts';
import { type Finding, type OneGolferTables, oneGolfer } from '../../src/studies/index.ts';
import { phased, round, seriesDataset } from '../studies/one-golfer/make-series.ts';

function findingOf(sessions: ReturnType<typeof phased>): Finding<OneGolferTables> {
  const outcome = oneGolfer(seriesDataset([{ golfer: 'G01', sessions }]));
  if (!outcome.ok) throw new Error('no answer');
  return outcome.finding;
}

describe('the page of one golfer', () => {
  const finding = findingOf(
    phased([
      ['baseline', round(5, 8)],
      ['training', round(12, 8)],
      ['retention', [11]],
    ]),
  );
  const [chart, draw] = oneGolferFigures(finding);

  it('draws every session at its mean, limits and means of phases beside', () => {
    const drawn = chart!.data
      .filter(({ yaxis }) => yaxis === undefined)
      .flatMap(({ name, y }) => (name === 'signal' ? [] : y));
    expect(drawn.filter((y) => y !== null)).toHaveLength(17);
    const limits = finding.tables.limits[0]!;
    const lines = chart!.layout.shapes!.map(({ y0 }) => y0);
    for (const y of [limits.low, limits.high, limits.centre, limits.rangeHigh]) expect(lines).toContain(y);
    expect(chart!.table.rows).toHaveLength(17);
    const signalling = finding.tables.sessions.filter(({ signals }) => signals.includes('beyond-limits'));
    expect(signalling).toHaveLength(9);
    expect(chart!.data.find(({ name }) => name === 'signal')!.x).toHaveLength(9);
  });
  it('draws one point for each way, the one that was among them', () => {
    const points = draw!.data.flatMap(({ x }) => x);
    expect(points).toHaveLength(finding.tables.randomisation!.ways);
    expect(new Set(points).size).toBe(points.length);
    expect(draw!.table.rows.filter(({ asLarge }) => asLarge === 'yes').length / points.length).toBeCloseTo(
      finding.tables.randomisation!.p,
      12,
    );
  });
  it('is drawn wide and narrow, and on the page', () => {
    for (const figure of [chart!, draw!])
      for (const width of [360, 760]) expect(figureSvg(figure, { width })).not.toContain('NaN');
    const page = findingPage(finding);
    expect(page).toContain('figure-sessions');
    expect(page).toContain('figure-draw');
    expect(page).toContain('The phases');
  });
  it('has a page where nothing could be compared', () => {
    const alone = findingOf(phased([['baseline', [5]]]));
    expect(oneGolferFigures(alone)).toHaveLength(1);
    expect(findingPage(alone)).toContain('Cannot tell');
    expect(figureSvg(oneGolferFigures(alone)[0]!, { width: 360 })).not.toContain('NaN');
    const later = findingOf(phased([['retention', [5, 6]]]));
    expect(findingPage(later)).toContain('Cannot tell');
  });
});
