import { describe, expect, it } from 'vitest';
import { cssColour, paint, palette, paletteCss } from '../../src/report/palette.ts';
import { apart, contrast, sights } from './colour-maths.ts';

const themes = ['light', 'dark'] as const;
const arms = ['drill', 'control', 'third', 'fourth'] as const;

describe('the colour arithmetic of these tests', () => {
  it('gives the contrast ratios that WCAG states: 21 for black on white, 1 for equal colours', () => {
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 10);
    expect(contrast('#777777', '#777777')).toBe(1);
  });
  it('puts white and black 100 units of lightness apart, as CIELAB is defined', () => {
    expect(apart('#000000', '#ffffff', 'usual')).toBeCloseTo(100, 3);
  });
});

describe.each(themes)('the palette, %s', (theme) => {
  const of = (name: keyof typeof palette): string => palette[name][theme];

  it.each(['ink', 'soft', ...arms] as const)('%s is readable as text on every surface (4.5 to 1)', (name) => {
    for (const surface of ['paper', 'raised', 'zone'] as const) {
      expect(contrast(of(name), of(surface)), surface).toBeGreaterThanOrEqual(4.5);
    }
  });
  it('the edge of the zone shows on both its sides (3 to 1)', () => {
    expect(contrast(of('zoneEdge'), of('paper'))).toBeGreaterThanOrEqual(3);
    expect(contrast(of('zoneEdge'), of('zone'))).toBeGreaterThanOrEqual(3);
  });
  it.each(Object.keys(sights))('drill and control stay apart in %s sight', (sight) => {
    expect(apart(of('drill'), of('control'), sight)).toBeGreaterThan(30);
  });
  it.each(Object.keys(sights))('no two arms are the same colour in %s sight', (sight) => {
    for (const [k, a] of arms.entries()) {
      for (const b of arms.slice(k + 1)) expect(apart(of(a), of(b), sight), `${a} ${b}`).toBeGreaterThan(20);
    }
  });
});

describe('cssColour', () => {
  it('lets our colours follow the theme, keeps other plain colours, and nothing else', () => {
    expect(cssColour('#00617f')).toBe('var(--drill,#00617f)');
    expect(cssColour('#123abc')).toBe('#123abc');
    expect(cssColour('red;background:url(http://example.invalid)')).toBe('var(--ink,#1b2226)');
  });
  it('paints a mark for readers with and without custom properties', () => {
    expect(paint({ fill: '#00617f', stroke: '#123abc' })).toBe(
      'fill="#00617f" stroke="#123abc" style="fill:var(--drill,#00617f);stroke:#123abc"',
    );
    expect(paint({ fill: '"><script>' })).toBe('fill="#1b2226" style="fill:var(--ink,#1b2226)"');
  });
  it('every colour of the palette is declared for light, dark and print', () => {
    const css = paletteCss(':root');
    for (const [name, { light, dark }] of Object.entries(palette)) {
      expect(css.split(`--${name}:${light}`)).toHaveLength(3);
      expect(css.split(`--${name}:${dark}`)).toHaveLength(2);
    }
  });
});
