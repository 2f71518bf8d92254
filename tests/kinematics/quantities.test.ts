import { describe, expect, it } from 'vitest';
import {
  INSTANT_NAMES,
  instantCatalogue,
  type Layout,
  type Measurement,
  measureTrial,
  type NamedChannels,
  quantityCatalogue,
} from '../../src/kinematics/index.ts';
import { plantBody, plantedPelvisTurn, plantedThoraxTurn } from './planted-body.ts';
import {
  type Point,
  plantedFlexion,
  plantedHipTurn,
  plantedMoments,
  plantedVelocity,
} from './planted-swing.ts';
import { PLAIN_LAYOUT, type Recording, recordSwing } from './record-swing.ts';

const body = plantBody();

function measured(named: NamedChannels, layout: Layout = PLAIN_LAYOUT): Measurement {
  const result = measureTrial(named, layout, 1);
  if (!result.ok) throw new Error(JSON.stringify(result.problems));
  return result.value;
}

function recorded(recording: Partial<Recording> = {}, leaveOut: readonly string[] = []): NamedChannels {
  const { named } = recordSwing(body, { rateHz: 240, ...recording });
  const tracks = new Map([...named.trial.tracks].filter(([name]) => !leaveOut.includes(name)));
  return { ...named, trial: { ...named.trial, tracks } };
}

const moments = { ...plantedMoments, impact: 0 } as const;
type Moment = keyof typeof moments;
const MOMENTS = Object.keys(moments) as Moment[];

describe('a planted body with the landmarks of the ISB frames', () => {
  const value = measured(recorded());

  it('says which definitions were used', () => {
    expect(value.processing.segmentDefinitions).toEqual({
      pelvisTurn: 'ISB frame',
      thoraxTurn: 'ISB frame',
      shoulder: 'centre given',
    });
  });

  it.each(MOMENTS)('gives turn of thorax and pelvis and the ISB elbow at %s', (name) => {
    const at = value.perInstant[name]!;
    const t = moments[name];
    expect(Math.abs(at.thorax_turn_deg! - plantedThoraxTurn(t))).toBeLessThan(0.1);
    expect(Math.abs(at.pelvis_turn_deg! - plantedPelvisTurn(t))).toBeLessThan(0.1);
    expect(Math.abs(at.trail_elbow_flexion_isb_deg! - plantedFlexion(t))).toBeLessThan(0.1);
    const speed = Math.hypot(...plantedVelocity(body, 'grip', t));
    expect(Math.abs(at.hand_speed_mps! - speed)).toBeLessThan(0.05);
  });

  it('puts the turns at impact into their columns', () => {
    expect(value.swing.thorax_turn_impact_deg).toBe(value.perInstant.impact!.thorax_turn_deg);
    expect(value.swing.pelvis_turn_impact_deg).toBe(value.perInstant.impact!.pelvis_turn_deg);
  });

  it('falls back to the lines across hips and shoulders, and says so', () => {
    const value = measured(recorded({}, ['lead_psis', 't8']));
    expect(value.processing.segmentDefinitions).toMatchObject({
      pelvisTurn: 'line across two landmarks',
      thoraxTurn: 'line across two landmarks',
    });
    expect(Math.abs(value.swing.pelvis_turn_impact_deg! - plantedHipTurn(0))).toBeLessThan(0.1);
    expect(value.warnings).toEqual([]);
  });

  it('takes the shoulder marker where no centre is given, or estimates it below the acromion', () => {
    const marker = measured(recorded({}, ['trail_shoulder_centre']));
    expect(marker.processing.segmentDefinitions.shoulder).toBe('shoulder marker standing for the centre');
    expect(marker.perInstant.top!.trail_elbow_flexion_isb_deg).toBeCloseTo(plantedFlexion(moments.top), 1);
    const named = recorded({}, ['trail_shoulder_centre']);
    const shoulder = named.trial.tracks.get('trail_shoulder')!;
    const lead = named.trial.tracks.get('lead_shoulder')!;
    const tracks = new Map([
      ...named.trial.tracks,
      ['trail_acromion', shoulder],
      ['lead_acromion', lead],
    ] as const);
    const acromion = measured({ ...named, trial: { ...named.trial, tracks } });
    expect(acromion.processing.segmentDefinitions.shoulder).toBe('estimated below the acromion');
    // A centre some centimetres lower is another flexion.
    expect(
      Math.abs(acromion.perInstant.top!.trail_elbow_flexion_isb_deg! - plantedFlexion(moments.top)),
    ).toBeGreaterThan(1);
  });

  it('is null without epicondyles, and no warning is made of what nobody asked for', () => {
    const value = measured(recorded({}, ['trail_lateral_epicondyle']));
    expect(value.processing.segmentDefinitions.shoulder).toBeNull();
    expect(value.perInstant.top!.trail_elbow_flexion_isb_deg).toBeNull();
    expect(value.warnings).toEqual([]);
  });

  it('gives the same numbers mirrored and declared left-handed', () => {
    const recording = { noise_m: 0.001, seed: 5 };
    const plain = measured(recorded(recording));
    const left = measured(recorded({ ...recording, place: ([x, y, z]: Point) => [x, y, -z] }), {
      ...PLAIN_LAYOUT,
      plays: 'left',
    });
    for (const [key, number] of Object.entries(plain.quantities))
      expect(Math.abs(left.quantities[key]! - number!), key).toBeLessThan(1e-9);
    for (const name of INSTANT_NAMES)
      for (const [key, number] of Object.entries(plain.perInstant[name]!))
        expect(
          Math.abs((left.perInstant[name] as Record<string, number>)[key]! - number!),
          `${key} at ${name}`,
        ).toBeLessThan(1e-8);
  });
});

describe('what the catalogue says is measured', () => {
  const value = measured(recorded({ noise_m: 0.001 }));

  it.each(
    quantityCatalogue.flatMap((quantity) => (quantity.measured ? [[quantity.id, quantity] as const] : [])),
  )('%s stands under its key with its uncertainty', (_id, { measured: place, instants }) => {
    const { key } = place!;
    const sources: Readonly<Record<string, number | null>>[] =
      place!.in === 'quantities' ? [value.quantities] : instants.map((name) => value.perInstant[name]!);
    for (const source of sources) {
      expect(Number.isFinite(source[key])).toBe(true);
      expect(source[`${key}_sd`]!).toBeGreaterThan(0);
    }
  });

  it('and nothing else is', () => {
    const keys = (from: object) => Object.keys(from).filter((key) => !key.endsWith('_sd'));
    const catalogued = (place: string) =>
      quantityCatalogue.flatMap(({ measured: m }) => (m?.in === place ? [m.key] : []));
    expect(keys(value.quantities).sort()).toEqual(catalogued('quantities').sort());
    expect(keys(value.perInstant.top!).sort()).toEqual(catalogued('perInstant').sort());
  });

  it('and every instant by every definition of the catalogue, the chosen one and the others', () => {
    for (const { name, definitions } of instantCatalogue) {
      expect(Number.isFinite(value.instants[name])).toBe(true);
      const others = Object.keys(value.alternativeInstants[name] ?? {});
      expect(others).toEqual(definitions.slice(1).map(({ way }) => way));
      for (const way of others) {
        const other = value.alternativeInstants[name]![way]!;
        expect(other.uncertainty_s).toBeGreaterThanOrEqual(0.5 / 240);
        expect(other.time_s).not.toBe(value.instants[name]);
      }
    }
  });

  it('an instant asked for by another definition is the one that stood beside the default', () => {
    const named = recorded({ noise_m: 0.001 });
    const result = measureTrial(named, PLAIN_LAYOUT, 1, { instants: { top: 'pelvis reversal' } });
    if (!result.ok) throw new Error('not measured');
    expect(result.value.instants.top).toBe(value.alternativeInstants.top!['pelvis reversal']!.time_s);
    expect(result.value.alternativeInstants.top!['club reversal']!.time_s).toBe(value.instants.top);
  });

  it('is left out when only the columns are asked for, which stay the same', () => {
    const result = measureTrial(recorded({ noise_m: 0.001 }), PLAIN_LAYOUT, 1, { columnsOnly: true });
    if (!result.ok) throw new Error('not measured');
    expect(result.value.swing).toEqual(value.swing);
    expect(result.value).toMatchObject({ perInstant: {}, quantities: {}, swingPlanes: [] });
  });
});
