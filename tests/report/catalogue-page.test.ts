import { describe, expect, it } from 'vitest';
import {
  arcFromAttack,
  instantCatalogue,
  metricCatalogue,
  metricRelations,
  quantityCatalogue,
} from '../../src/kinematics/index.ts';
import { cataloguePage } from '../../src/report/catalogue/index.ts';
import { escapeMarkup } from '../../src/report/escape.ts';

const page = cataloguePage();

describe('the page of the catalogue', () => {
  it.each([...metricCatalogue, ...quantityCatalogue].map((entry) => [entry.id, entry] as const))(
    'tells all of %s once',
    (id, entry) => {
      expect(page.split(`id="entry-${id}"`)).toHaveLength(2);
      for (const text of [entry.meaning, entry.equation, entry.sign, entry.source, ...entry.confusedWith])
        expect(page).toContain(escapeMarkup(text));
    },
  );

  it('has every definition of every instant', () => {
    for (const { meaning, sign, confusedWith, definitions } of instantCatalogue)
      for (const text of [
        meaning,
        sign,
        ...confusedWith,
        ...definitions.flatMap((way) => [way.way, way.meaning, way.equation, way.source]),
      ])
        expect(page).toContain(escapeMarkup(text));
  });

  it('gives every drawing a title and a description, and no id twice', () => {
    const drawings = page.match(/<svg/g)!.length;
    expect(page.match(/<desc id=/g)).toHaveLength(drawings);
    expect(page.match(/<title id=/g)).toHaveLength(drawings);
    const ids = [...page.matchAll(/ id="([^"]+)"/g)].map(([, id]) => id);
    expect(new Set(ids).size).toBe(ids.length);
    for (const [, target] of page.matchAll(/href="#([^"]+)"/g)) expect(ids).toContain(target);
  });

  it('draws only numbers', () => expect(page).not.toMatch(/NaN|Infinity|undefined/));
});

describe('quantities without a column', () => {
  it('have ids and links of their own', () => {
    const ids = [...metricCatalogue, ...quantityCatalogue].map(({ id }) => id);
    expect(new Set(ids).size).toBe(ids.length);
    const columns = new Set<string>(metricCatalogue.map(({ column }) => column));
    for (const quantity of quantityCatalogue)
      for (const column of quantity.relatedColumns) expect(columns.has(column)).toBe(true);
    expect(metricRelations.length).toBeGreaterThan(0);
  });

  it('path shift: -4 deg in a plane at 60 deg is 2.312 deg (check value, literature.json)', () => {
    const shift = quantityCatalogue.find(({ id }) => id === 'path_shift')!;
    expect(arcFromAttack(-4, 60, 1.6).pathShift_deg).toBeCloseTo(2.312, 3);
    expect(shift.equation).toContain('2.312 deg');
  });
});
