import { describe, expect, it } from 'vitest';
import { drillTrialFigureList } from '../../src/report/drill-trial/figures.ts';
import type { Figure, Trace } from '../../src/report/figure.ts';
import { figureSvg } from '../../src/report/figure-svg.ts';
import { figureToPlotly } from '../../src/report/plotly-figure.ts';
import { bareFinding, finding, hostile, hostileFinding, withoutIsolates } from './fixture.ts';

const figures = drillTrialFigureList(finding);

const small: Figure = {
  id: 'small',
  title: 'A title',
  caption: '',
  description: 'Two points.',
  data: [
    {
      type: 'scatter',
      mode: 'markers',
      name: 'a',
      x: [0, 10, null],
      y: [-2, 2, 1],
      marker: { color: '#00617f', size: 8, symbol: 'circle' },
      error_y: {
        type: 'data',
        symmetric: false,
        array: [1, 0, 0],
        arrayminus: [0.5, 0, 0],
        color: '#00617f',
        thickness: 2,
        width: 0,
      },
    },
  ],
  layout: {
    xaxis: { range: [-5, 15], tickvals: [0, 10], ticktext: ['0', '10'] },
    yaxis: { range: [-4, 4], tickvals: [-2, 2], ticktext: ['−2', '+2'] },
    height: 300,
  },
  table: { columns: [], rows: [] },
};

const attributes = (tag: string): Record<string, string> =>
  Object.fromEntries(
    [...tag.matchAll(/([\w-]+)="([^"]*)"/g)].map(([, name, value]) => [name, value] as [string, string]),
  );

/** Pixel to value for the first panel, from where the drawing itself puts its labelled ticks. */
function scale(
  svg: string,
  letter: 'x' | 'y',
  ticks: readonly number[],
  labels: readonly string[],
): (px: number) => number {
  const places = labels.map((label) => {
    const tag = [...svg.matchAll(/<text [^>]*>([^<]*)<\/text>/g)].find(
      ([whole, text]) => text === label && whole.includes('font-size="12"'),
    );
    // The label of a y tick is centred on it: its baseline lies 0.35 em of 12 px lower.
    return Number(attributes(tag?.[0] ?? '')[letter]) - (letter === 'y' ? 4.2 : 0);
  });
  const [p, q] = [places[0] as number, places.at(-1) as number];
  const [a, b] = [ticks[0] as number, ticks.at(-1) as number];
  return (at) => a + ((at - p) / (q - p)) * (b - a);
}

/** The middle of each point of a trace, from its outline. */
function centres(svg: string, index: number): [number, number][] {
  const group = svg.split(`data-trace="${index}"`)[1]?.split('</g>')[0] ?? '';
  return [...group.matchAll(/<path class="point" d="([^"]*)"/g)].map(([, d = '']) => {
    const [x, y, ...rest] = (d.match(/-?\d+(\.\d+)?/g) ?? []).map(Number) as number[];
    if (d.includes('a')) return [(x as number) + (rest[0] as number), y as number];
    if (d.includes('h'))
      return [(x as number) + (rest[0] as number) / 2, (y as number) + (rest[1] as number) / 2];
    return [x as number, rest[1] as number];
  });
}

const pointsOf = (trace: Trace): [number, number][] =>
  trace.x.flatMap((x, k) => {
    const y = trace.y[k];
    return x === null || y === null || y === undefined ? [] : [[x, y] as [number, number]];
  });

describe('the static drawing', () => {
  it('puts points and bars where a ruler on its own axes finds their values', () => {
    const svg = figureSvg(small);
    const x = scale(svg, 'x', [0, 10], ['0', '10']);
    const y = scale(svg, 'y', [-2, 2], ['−2', '+2']);
    expect(
      centres(svg, 0).map(([a, b]) => [Math.round(x(a) * 100) / 100, Math.round(y(b) * 100) / 100]),
    ).toEqual([
      [0, -2],
      [10, 2],
    ]);
    const bars = [...svg.matchAll(/<path class="bar" d="M[\d.]+ ([\d.]+)V([\d.]+)"/g)];
    expect(bars).toHaveLength(1);
    expect(y(Number(bars[0]?.[1]))).toBeCloseTo(-2.5, 1);
    expect(y(Number(bars[0]?.[2]))).toBeCloseTo(-1, 1);
  });

  it.each([700, 328])('shows every number of every figure of the page, at %i px', (width) => {
    let seen = 0;
    for (const figure of figures) {
      const svg = figureSvg(figure, { width });
      const layout = width < 480 ? (figure.narrow ?? figure.layout) : figure.layout;
      for (const [index, trace] of figure.data.entries()) {
        if (trace.mode === 'lines' || (trace.xaxis ?? 'x') !== 'x') continue;
        const shown = centres(svg, index);
        const wanted = pointsOf(trace);
        expect(shown).toHaveLength(wanted.length);
        const { tickvals, ticktext } = layout.xaxis;
        const both = svg.includes(`>${ticktext.at(-1)}</text>`);
        if (!both) continue;
        const value = scale(svg, 'x', tickvals, ticktext);
        const span = Math.abs(layout.xaxis.range[1] - layout.xaxis.range[0]);
        for (const [k, [at]] of shown.entries()) {
          expect(Math.abs(value(at) - (wanted[k]?.[0] as number))).toBeLessThan(span * 2e-4);
          seen += 1;
        }
      }
    }
    expect(seen).toBeGreaterThan(90);
  });

  it('has the same points, tooltips and colours as the interactive one', () => {
    for (const figure of figures) {
      const svg = figureSvg(figure);
      const { data } = figureToPlotly(figure);
      for (const [index, trace] of figure.data.entries()) {
        expect(data[index]).toMatchObject({ x: trace.x, y: trace.y, mode: trace.mode });
        if (trace.marker !== undefined) {
          expect(data[index]?.marker).toMatchObject({
            color: trace.marker.color,
            symbol: trace.marker.symbol,
          });
        }
        const group = svg.split(`data-trace="${index}"`)[1]?.split('</g>')[0] ?? '';
        const tooltips = [...group.matchAll(/<title>/g)].length;
        expect(tooltips).toBe(trace.hovertext === undefined ? 0 : pointsOf(trace).length);
      }
    }
  });

  it('says what it is to a screen reader, by its own title and description', () => {
    for (const figure of figures) {
      const svg = figureSvg(figure);
      const ids = attributes(svg.slice(0, svg.indexOf('>')))['aria-labelledby']?.split(' ') ?? [];
      expect(svg).toContain('role="img"');
      expect(ids).toHaveLength(2);
      for (const id of ids) expect(svg.split(`id="${id}"`)).toHaveLength(2);
      expect(figure.description.length).toBeGreaterThan(40);
    }
  });

  it('tells arms apart by shape as well as by colour', () => {
    const golfers = figures.find(({ id }) => id === 'golfers') as Figure;
    const marks = golfers.data.filter(({ name }) => name !== 'as observed').map(({ marker }) => marker);
    expect(new Set(marks.map((mark) => mark?.symbol)).size).toBe(2);
    expect(new Set(marks.map((mark) => mark?.color)).size).toBe(2);
  });

  it('stands alone as a file with its own colours, and leaves them to the page within one', () => {
    expect(figureSvg(small)).toContain('<style>');
    expect(figureSvg(small, { standalone: false })).not.toContain('<style>');
  });

  it('is the same bytes for the same figure', () => {
    for (const figure of figures) {
      expect(figureSvg(structuredClone(figure))).toBe(figureSvg(figure));
    }
  });

  it('shows hostile text as text', () => {
    for (const figure of drillTrialFigureList(hostileFinding())) {
      const svg = figureSvg(figure);
      expect(svg).not.toMatch(/<(script|img|b|i|a|foreignObject|image|use)\b/i);
      expect(withoutIsolates(svg)).not.toMatch(/[\u202a-\u202e\u2066-\u2069]/);
      expect(svg).not.toContain('\u0000');
      const tags = new Set([...svg.matchAll(/<([a-zA-Z]+)/g)].map(([, name]) => name));
      expect(
        [...tags].filter(
          (tag) =>
            ![
              'svg',
              'title',
              'desc',
              'style',
              'defs',
              'clipPath',
              'rect',
              'path',
              'text',
              'tspan',
              'g',
            ].includes(tag ?? ''),
        ),
      ).toEqual([]);
      expect(JSON.stringify(figureToPlotly(figure))).not.toMatch(/<(?!br>)/);
    }
    const one = { ...small, title: hostile[1], description: hostile[3] };
    expect(figureSvg(one)).toContain('&lt;!-- &amp; &lt;svg onload=alert(1)&gt;');
  });

  it('refuses an id that could break out of an attribute, and an axis that is not there', () => {
    expect(() => figureSvg({ ...small, id: 'a" onload="x' })).toThrow(
      /figureSvg: .*letters, digits and hyphens/,
    );
    const lost: Figure = { ...small, data: [{ ...(small.data[0] as Trace), xaxis: 'x2' }] };
    expect(() => figureSvg(lost)).toThrow(/xaxis2/);
  });

  it('draws nothing of a shape beyond its panel, and cuts one that reaches out of it', () => {
    const figure = drillTrialFigureList(finding)[0]!;
    const { range } = figure.layout.xaxis;
    const far = { y0: 0, y1: 1, xref: 'x', yref: 'paper', layer: 'above' } as const;
    const line = { color: '#123456', width: 1 };
    const beyond = {
      ...figure.layout,
      shapes: [{ type: 'line', ...far, x0: range[1] + 9, x1: range[1] + 9, line }],
    };
    expect(figureSvg({ ...figure, layout: beyond as typeof figure.layout })).not.toContain('class="rule"');
    const wide = {
      ...figure.layout,
      shapes: [{ type: 'rect', ...far, x0: range[0] - 99, x1: range[1] + 99 }],
    };
    const [, x, width] = figureSvg({ ...figure, layout: wide as typeof figure.layout }).match(
      /class="zone" x="([\d.]+)" y="[\d.]+" width="([\d.]+)"/,
    )!;
    expect(Number(x)).toBeGreaterThanOrEqual(0);
    expect(Number(x) + Number(width)).toBeLessThanOrEqual(700);
  });
  it('draws what there is when nothing could be estimated', () => {
    const bare = drillTrialFigureList(bareFinding);
    expect(bare.map(({ id }) => id)).toEqual(['estimate', 'golfers', 'panels', 'groups']);
    for (const figure of bare) expect(figureSvg(figure)).not.toMatch(/NaN|Infinity|undefined/);
  });
});
