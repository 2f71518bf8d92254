import { describe, expect, it } from 'vitest';
import { type CurveFigureOptions, curveFigure, figureSvg, figureToPlotly } from '../../src/report/index.ts';

const options: CurveFigureOptions = {
  id: 'curves',
  title: 'Two curves',
  caption: 'Caption.',
  description: 'Description.',
  x: { label: 'time', unit: 'ms', values: [-20, -10, 0, 10] },
  y: { label: 'angle', unit: 'deg' },
  curves: [
    { name: 'one', y: [1, 2, null, 4], halfWidth: [0.5, 0.5, null, 0.5] },
    { name: 'two', y: [4, 3, 2, 1] },
  ],
  marks: [
    { x: -11, label: 'lead arm parallel' },
    { x: -10, label: 'delivery' },
    { x: 0, label: 'impact' },
  ],
  table: { columns: [{ key: 'x', label: 'x' }], rows: [{ x: 1 }] },
};

describe('a figure of curves', () => {
  const figure = curveFigure(options);

  it('draws every curve, its band about it and in its colour, named once', () => {
    const named = figure.data.filter(({ showlegend }) => showlegend === true).map(({ name }) => name);
    expect(named).toEqual(['one', 'two']);
    expect(figure.data.slice(0, 2).map(({ y }) => y)).toEqual([
      [1.5, 2.5, null, 4.5],
      [0.5, 1.5, null, 3.5],
    ]);
    expect(new Set(figure.data.map(({ line }) => line!.color)).size).toBe(2);
  });

  it('marks each moment at its place, and sets names that would touch in rows of their own', () => {
    for (const layout of [figure.layout, figure.narrow!]) {
      expect(layout.shapes!.map(({ x0 }) => x0)).toEqual([-11, -10, 0]);
      const [arm, delivery] = layout.annotations!;
      expect(arm!.y).not.toBe(delivery!.y);
      // The curves stay below the names.
      const lowest = Math.min(...layout.annotations!.map(({ y }) => y));
      const [low, high] = layout.yaxis.range;
      expect((4.5 - low) / (high - low)).toBeLessThan(lowest);
    }
  });

  it('is drawn whole by both drawings', () => {
    const svg = figureSvg(figure);
    for (const text of ['lead arm parallel', 'delivery', 'impact', 'time (ms)', 'angle (°)'])
      expect(svg).toContain(text);
    expect(figureToPlotly(figure, 360).layout.annotations).toHaveLength(4);
  });

  it('refuses what cannot be drawn', () => {
    const curve = options.curves[1]!;
    expect(() => curveFigure({ ...options, curves: Array(6).fill(curve) })).toThrow(/at most 5 curves/);
    expect(() => curveFigure({ ...options, curves: [{ name: 'short', y: [1] }] })).toThrow(
      /short has 1 values for 4/,
    );
  });
});
