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
    { name: 'one', y: [1, 2, null, 4] },
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

  it('draws every curve in a look of its own, broken where a value is missing', () => {
    expect(figure.data.map(({ name, y }) => [name, y])).toEqual([
      ['one', [1, 2, null, 4]],
      ['two', [4, 3, 2, 1]],
    ]);
    expect(new Set(figure.data.map(({ line }) => `${line!.color} ${line!.dash}`)).size).toBe(2);
  });

  it('marks each moment at its place, and sets names that would touch in rows of their own', () => {
    for (const layout of [figure.layout, figure.narrow!]) {
      expect(layout.shapes!.map(({ x0 }) => x0)).toEqual([-11, -10, 0]);
      const [arm, delivery] = layout.annotations!;
      // The earlier of two that touch hangs lower, so that its line crosses no name.
      expect(arm!.y).toBeLessThan(delivery!.y);
      layout.shapes!.forEach(({ y1 }, k) => {
        expect(y1).toBeLessThan(layout.annotations![k]!.y);
      });
      // The curves stay below the names.
      const lowest = Math.min(...layout.annotations!.map(({ y }) => y));
      const [low, high] = layout.yaxis.range;
      expect((4 - low) / (high - low)).toBeLessThan(lowest);
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
