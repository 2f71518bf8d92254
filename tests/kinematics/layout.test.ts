import { describe, expect, it } from 'vitest';
import { checkLayout, measureCapture } from '../../src/kinematics/index.ts';
import { writeC3d } from './write-c3d.ts';

const good = {
  lengthUnit: 'mm',
  up: '+Z',
  targetLine: { axis: '+Y' },
  plays: 'right',
  landmarks: { grip: 'G', club_head: 2 },
};

const problemsOf = (layout: unknown) => {
  const result = checkLayout(layout);
  return result.ok ? [] : result.problems;
};
const placesOf = (layout: unknown): string[] => problemsOf(layout).map((problem) => problem.where);

describe('a layout', () => {
  it('is accepted with either form of the target line', () => {
    expect(problemsOf(good)).toEqual([]);
    expect(problemsOf({ ...good, targetLine: { from: 'A', to: 3, at: 'whole capture' } })).toEqual([]);
  });

  it('names every missing part at once', () => {
    expect(placesOf({}).sort()).toEqual([
      'layout /landmarks',
      'layout /lengthUnit',
      'layout /plays',
      'layout /targetLine',
      'layout /up',
    ]);
  });

  it.each([
    ['an unknown unit', { ...good, lengthUnit: 'foot' }, 'layout /lengthUnit'],
    ['an axis without a sign', { ...good, up: 'Z' }, 'layout /up'],
    ['a hand in words of its own', { ...good, plays: 'both' }, 'layout /plays'],
    ['a key that no layout has', { ...good, plaeys: 'right' }, 'layout /plaeys'],
    ['channel 0', { ...good, landmarks: { grip: 0 } }, 'layout /landmarks/grip'],
    ['a landmark in capitals', { ...good, landmarks: { Grip: 'G' } }, 'layout /landmarks/Grip'],
    ['no landmark', { ...good, landmarks: {} }, 'layout /landmarks'],
    ['a target line of one point', { ...good, targetLine: { from: 'A' } }, 'layout /targetLine'],
    ['a target that lies upward', { ...good, targetLine: { axis: '-Z' } }, 'layout /targetLine/axis'],
    ['a rate below zero', { ...good, rateHz: -1 }, 'layout /rateHz'],
    ['a ball of two numbers', { ...good, ball: [1, 2] }, 'layout /ball'],
    [
      'one landmark under two names',
      { ...good, landmarks: { lead_wrist: 'A', left_wrist: 'B' } },
      'layout /landmarks/left_wrist',
    ],
  ])('is refused for %s, at its place', (_what, layout, place) => {
    const problems = problemsOf(layout);
    expect(problems.map((p) => p.where)).toContain(place);
    for (const problem of problems)
      for (const text of [problem.found, problem.expected, problem.remedy])
        expect(text.length).toBeGreaterThan(0);
  });

  it('is refused when it is no object', () => {
    for (const layout of [null, 3, 'x', []]) expect(problemsOf(layout).length).toBeGreaterThan(0);
  });
});

describe('rigid segments and processing', () => {
  const landmarks = { grip: 1, club_head: 2, right_hip: 3, left_hip: 4, sacrum: 5 };
  const where = (layout: object): string[] => {
    const checked = checkLayout({ ...good, landmarks, ...layout });
    return checked.ok ? [] : checked.problems.map((p) => p.where);
  };

  it('name landmarks of the layout, on either way of naming sides', () => {
    expect(where({ rigidSegments: { pelvis: ['lead_hip', 'right_hip', 'sacrum', 'grip'] } })).toEqual([]);
    expect(where({ rigidSegments: { pelvis: ['lead_hip', 'right_hip', 'sacral', 'grip'] } })).toEqual([
      'layout /rigidSegments/pelvis',
    ]);
    expect(where({ rigidSegments: { pelvis: ['lead_hip', 'right_hip', 'grip'] } })).toHaveLength(1);
  });

  it('take what the schema lists and refuse the rest, each at its place', () => {
    const given = {
      cutoff: { body_Hz: 12 },
      derivatives: 'spline',
      longestGap_ms: 100,
      filterThroughImpact: true,
    };
    expect(where({ processing: given, instants: { top: 'pelvis reversal' } })).toEqual([]);
    expect(where({ processing: { cutoff: 'by residual analysis' } })).toEqual([]);
    expect(where({ processing: { cutoff: 'none' } })).toEqual(['layout /processing/cutoff']);
    expect(where({ processing: { cutoff: { body_Hz: 0 } } })).toEqual(['layout /processing/cutoff']);
    expect(where({ processing: { smooth: true } })).toEqual(['layout /processing/smooth']);
    expect(where({ instants: { top: 'highest' }, swingPlane: { from: 'address' } })).toEqual([
      'layout /instants/top',
      'layout /swingPlane/from',
    ]);
  });
});

describe('channels', () => {
  const c3dBytes = writeC3d({
    order: 'Intel',
    encoding: 'float',
    rateHz: 100,
    labels: ['G', 'H', 'H'],
    points: Array.from({ length: 30 }, () => [
      [1, 2, 3],
      [4, 5, 6],
      [7, 8, 9],
    ]),
  });
  const problems = (landmarks: Record<string, string | number>) => {
    const result = measureCapture({ c3dBytes, layout: { ...good, landmarks } });
    return result.ok ? [] : result.problems;
  };

  it('that the capture lacks, or has twice, are named with what there is', () => {
    const found = problems({ grip: 'X', club_head: 'H', ball: 9 });
    expect(found.map((p) => p.where)).toEqual([
      'layout /landmarks/grip',
      'layout /landmarks/club_head',
      'layout /landmarks/ball',
    ]);
    expect(found[0]!.expected).toContain('G, H, H');
    expect(found[1]!.remedy).toMatch(/number/);
    expect(found[2]!.expected).toBe('1 to 3');
  });

  it('may be given by number', () => expect(problems({ grip: 1, club_head: 3 })).toEqual([]));

  it('of a capture without a rate ask for it in the layout', () => {
    const bytes = writeC3d({
      order: 'Intel',
      encoding: 'float',
      rateHz: 0,
      labels: ['G'],
      points: [[[1, 2, 3]]],
    });
    const layout = { ...good, landmarks: { grip: 'G' } };
    const without = measureCapture({ c3dBytes: bytes, layout });
    expect(without).toMatchObject({ ok: false, problems: [{ where: 'layout /rateHz' }] });
    expect(measureCapture({ c3dBytes: bytes, layout: { ...layout, rateHz: 240 } }).ok).toBe(true);
  });

  it('and layout are checked together: all problems at once', () => {
    const result = measureCapture({ c3dBytes: new Uint8Array(3), layout: { ...good, up: 'north' } });
    expect(result.ok).toBe(false);
    if (!result.ok) expect(result.problems.map((p) => p.where)).toEqual(['layout /up', 'capture byte 3']);
  });
});
