import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import {
  IRON_PENDULUM,
  JORGENSEN_PENDULUM,
  MECHANICS_SOURCES,
  SKILLED_BODY,
  SKILLED_BODY_SOURCES,
} from '../../../src/synthetic/mechanics/index.ts';

const LITERATURE = new URL('../../../../shared/reference/literature.json', import.meta.url);

/** Every number of an object, by its path. */
function numbersOf(value: unknown, path = ''): [string, number][] {
  if (typeof value === 'number') return [[path, value]];
  if (value === null || typeof value !== 'object') return [];
  return Object.entries(value).flatMap(([key, inner]) =>
    numbersOf(inner, Array.isArray(value) ? `${path}[${key}]` : path === '' ? key : `${path}.${key}`),
  );
}

describe('sources of the mechanics', () => {
  it('names only numbers that the body has', () => {
    const paths = new Map(numbersOf(SKILLED_BODY));
    for (const path of Object.keys(SKILLED_BODY_SOURCES))
      if (path !== '*') expect(paths.has(path)).toBe(true);
    expect(SKILLED_BODY_SOURCES['*']).toBe('design');
  });

  it('has the published numbers as published', () => {
    const [length, inertia, mass, balance] = MECHANICS_SOURCES['jorgensen-arm'].value;
    expect(SKILLED_BODY.leadArm).toEqual({
      length_m: length,
      mass_kg: mass,
      firstMoment_kg_m: mass * length * balance,
      inertia_kg_m2: inertia,
    });
    expect(JORGENSEN_PENDULUM).toMatchObject({ armLength_m: length, armInertia_kg_m2: inertia });
    const [clubMass, clubLength, clubInertia, clubBalance] = MECHANICS_SOURCES['jorgensen-club'].value;
    expect(JORGENSEN_PENDULUM).toMatchObject({
      clubMass_kg: clubMass,
      clubLength_m: clubLength,
      clubInertia_kg_m2: clubInertia,
    });
    expect(JORGENSEN_PENDULUM.clubFirstMoment_kg_m).toBeCloseTo(clubMass * clubLength * clubBalance, 12);
    const { M, d, Jc } = MECHANICS_SOURCES['iron-club'].value;
    expect(SKILLED_BODY.club.mass_kg).toBe(M);
    expect(SKILLED_BODY.club.firstMoment_kg_m).toBeCloseTo(M * d, 12);
    expect(SKILLED_BODY.club.inertia_kg_m2).toBe(Jc);
    expect(IRON_PENDULUM.clubInertia_kg_m2).toBe(Jc);
    const [upperArm, forearm, hand] = MECHANICS_SOURCES.proportions.value;
    expect(SKILLED_BODY.trailArm.upperArm_m).toBeCloseTo(upperArm * 1.77, 3);
    expect(SKILLED_BODY.trailArm.elbowToGrip_m).toBeCloseTo((forearm + hand / 2) * 1.77, 3);
  });

  it.skipIf(!existsSync(LITERATURE))('says of each what the list of literature says', () => {
    const literature = JSON.parse(readFileSync(LITERATURE, 'utf8')) as {
      quantity: string;
      kind: string;
      confidence: string;
      value: unknown;
    }[];
    for (const key of ['jorgensen-arm', 'jorgensen-club', 'iron-club'] as const) {
      const source = MECHANICS_SOURCES[key];
      const entry = literature.find(({ quantity }) => quantity === source.quantity);
      expect(entry).toMatchObject({ kind: source.kind, confidence: source.confidence });
      if (key !== 'iron-club') expect(entry!.value).toEqual(source.value);
    }
  });
});
