import { describe, expect, it } from 'vitest';
import { armStyles } from '../../src/report/drill-trial/arms.ts';
import { doseFigure } from '../../src/report/drill-trial/dose-figure.ts';
import { estimateFigure } from '../../src/report/drill-trial/estimate-figure.ts';
import { golferFigures } from '../../src/report/drill-trial/golfer-figure.ts';
import { orderedGolfers } from '../../src/report/drill-trial/golfer-rows.ts';
import { groupFigure } from '../../src/report/drill-trial/group-figure.ts';
import type { Figure } from '../../src/report/figure.ts';
import type { SmallestChange } from '../../src/studies/index.ts';
import { bareFinding, estimate, finding, golfers } from './fixture.ts';

describe('the estimate against the zone', () => {
  const figure = estimateFigure(finding);
  it('draws the answer, the other changes and the sensitivities, and nothing in another unit', () => {
    expect(figure.data.map(({ name, x }) => [name, x])).toEqual([
      ['Under other choices', [-5.5, -5.2, -4.9]],
      ['Other estimates', [-3.9, -8.8]],
      ['The answer', [-5.62]],
    ]);
  });
  it('draws intervals from end to end', () => {
    const answer = figure.data.at(-1);
    expect((answer?.x[0] as number) + (answer?.error_x?.array[0] as number)).toBeCloseTo(-3.34, 12);
    expect((answer?.x[0] as number) - (answer?.error_x?.arrayminus[0] as number)).toBeCloseTo(-7.9, 12);
  });
  it('shades from minus to plus the smallest change that matters', () => {
    expect(figure.layout.shapes?.[0]).toMatchObject({ type: 'rect', x0: -3, x1: 3, xref: 'x' });
  });
  it('says the numbers in its text alternative', () => {
    expect(figure.description).toContain(
      'Drill effect after training, full swings: −5.6°, interval −7.9 to −3.3°',
    );
  });
  it('does not let one wild interval squash the answer', () => {
    const wild = estimate('drill effect at retention', 2, -900, 900, '');
    const { range } = estimateFigure({
      ...finding,
      estimates: [finding.estimates[0] as never, { key: 'retention', ...wild }],
    }).layout.xaxis;
    expect(range[1] - range[0]).toBeLessThan(80);
  });
  it('shows a row without a mark where nothing could be estimated', () => {
    const bare = estimateFigure(bareFinding);
    expect(bare.data[0]?.x).toEqual([]);
    expect(bare.layout.annotations?.some(({ text }) => text === 'not estimable')).toBe(true);
  });
});

describe('how numbers are shown', () => {
  it('gives every change in the metric’s unit the decimals that the answer needs', () => {
    // The low end, 1.128, and the smallest change, 1.098, would both be 1.1 to one decimal.
    const close = {
      ...finding,
      estimates: [
        estimate('drill effect', 2.173, 1.128, 3.218, ''),
        { key: 'retention', ...estimate('drill effect later', 1.78, 0.76, 2.8, '') },
      ],
      smallestChange: {
        ...(finding.smallestChange as SmallestChange),
        value: 1.098,
        from: 'default' as const,
      },
    };
    const words = estimateFigure(close).description;
    expect(words).toContain('+2.17°, interval +1.13 to +3.22°');
    expect(words).toContain('+1.78°, interval +0.76 to +2.80°');
    expect(words).toContain('up to 1.1° either way');
  });
});

describe('each golfer’s change', () => {
  const [figure, ...more] = golferFigures(finding) as [Figure];
  it('is one figure for forty golfers, in order within each arm, the good direction first', () => {
    expect(more).toEqual([]);
    for (const trace of figure.data.filter(({ name }) => name !== 'as observed')) {
      const values = trace.x as number[];
      expect([...values].sort((a, b) => a - b)).toEqual(values);
      const places = trace.y as number[];
      expect([...places].sort((a, b) => a - b)).toEqual(places);
    }
    const upward = {
      ...finding,
      smallestChange: { ...(finding.smallestChange as object), goodDirection: 1 },
    } as typeof finding;
    const first = orderedGolfers(upward, 'towel drill')[0];
    expect(first?.shrunken).toBe(
      Math.max(
        ...golfers.flatMap(({ arm, shrunken }) =>
          arm === 'towel drill' && shrunken !== null ? [shrunken] : [],
        ),
      ),
    );
  });
  it('shows every golfer who has a change, once, observed and shrunken', () => {
    const changed = golfers.filter(({ change }) => change !== null).map(({ golfer }) => golfer);
    expect(changed).toHaveLength(37);
    expect([...figure.layout.yaxis.ticktext].sort()).toEqual([...changed].sort());
    const observed = figure.data.filter(({ name }) => name === 'as observed').flatMap(({ x }) => x);
    expect(observed).toHaveLength(37);
  });
  it('becomes several figures, none too tall for a page, when there are many golfers', () => {
    const many = Array.from({ length: 7 }, (_, k) =>
      golfers.map((own) => ({ ...own, golfer: `${own.golfer}-${k}` })),
    ).flat();
    const figures = golferFigures({ ...finding, tables: { ...finding.tables, golfers: many } });
    expect(figures.length).toBeGreaterThan(5);
    expect(new Set(figures.map(({ id }) => id)).size).toBe(figures.length);
    // Letter paper, less margins of 16 mm: (279.4 - 32) mm at 96 px an inch is 935 px; heading and caption take 110.
    for (const one of figures) expect(one.layout.height).toBeLessThan(825);
    expect(figures.flatMap(({ table }) => table.rows)).toHaveLength(7 * 37);
  });
});

describe('before and after by group', () => {
  const figure = groupFigure(finding) as Figure;
  it('has one panel for each arm on one scale, with the means and their intervals', () => {
    const { yaxis, yaxis2 } = figure.layout as unknown as Record<string, { range: number[] }>;
    expect(yaxis2?.range).toEqual(yaxis?.range);
    const full = figure.data.filter(({ name }) => name.endsWith('full swings'));
    expect(full.map(({ y }) => y)).toEqual([
      [71.3, 67.2, 64.8, 66.4],
      [70.6, 70.2, 69.8, 70.1],
    ]);
    expect(full[1]?.error_y?.array).toEqual([3.1, 3, 3.2, 0].map((half) => expect.closeTo(half, 10)));
  });
  it('has a thin line for each golfer, broken between golfers', () => {
    const lines = figure.data.filter(({ mode }) => mode === 'lines');
    const known = golfers
      .flatMap(({ before, after, retention }) => [before, after, retention])
      .filter((v) => v !== null);
    expect(lines.flatMap(({ y }) => y).filter((v) => v !== null)).toHaveLength(known.length);
    expect(lines.flatMap(({ y }) => y).filter((v) => v === null)).toHaveLength(40);
  });
});

describe('a crossover', () => {
  const crossover = { ...finding, design: { ...finding.design, kind: 'crossover' } };
  it('calls a golfer’s two values what they are: after the control, and after the drill', () => {
    const [figure] = golferFigures(crossover) as [Figure];
    expect(figure.layout.xaxis.title?.text).toBe('After the drill less after the control (°)');
    expect(figure.data.map(({ name }) => name)).toEqual(
      expect.arrayContaining(['towel drill first', 'usual practice first']),
    );
    expect(figure.table.columns.map(({ label }) => label)).toEqual(
      expect.arrayContaining(['after the control', 'after the drill', 'difference observed']),
    );
  });
  it('draws no line of a golfer within an arm, since the two values belong to two arms', () => {
    const figure = groupFigure(crossover) as Figure;
    expect(figure.data.filter(({ mode }) => mode === 'lines')).toEqual([]);
    expect(figure.caption).not.toContain('Thin');
  });
});

describe('practice and change', () => {
  it('has a point for each golfer with a log, and is left out without one', () => {
    expect(doseFigure(finding)?.data.flatMap(({ x }) => x)).toHaveLength(finding.tables.dose.length);
    expect(doseFigure({ ...finding, tables: { ...finding.tables, dose: [] } })).toBeNull();
  });
});

describe('armStyles', () => {
  it('gives every arm of several a look of its own', () => {
    const arms = ['a', 'b', 'c', 'd'].map((arm, k) => ({
      arm,
      role: k === 3 ? ('control' as const) : ('drill' as const),
      golfers: 1,
      sessions: 1,
      swings: 1,
    }));
    const styles = armStyles({ ...finding, design: { ...finding.design, arms } });
    expect(new Set(styles.map(({ symbol }) => symbol)).size).toBe(4);
    expect(new Set(styles.map(({ color }) => color)).size).toBe(4);
  });
});
