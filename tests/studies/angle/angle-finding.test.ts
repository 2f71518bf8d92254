import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readPoints } from '../../../src/kinematics/index.ts';
import { reportFiles } from '../../../src/report/index.ts';
import {
  type AngleStanding,
  angleSentence,
  angleStanding,
  angleVerdict,
} from '../../../src/studies/angle/answer-words.ts';
import { turnBetween } from '../../../src/studies/angle/differences.ts';
import { angleFinding, readPublished, serialiseFinding } from '../../../src/studies/index.ts';
import { FIVE_POINTS } from '../../kinematics/angle/elbow-data.ts';

const csv = readFileSync(new URL('../../reference/angles/isb_elbow.csv', import.meta.url));
const printed = readFileSync(new URL('../../../notebooks/data/elbow/published.json', import.meta.url));
const ISB = ['flexion_deg', 'carrying_deg', 'pronation_deg'];
const bytes = (text: string) => new TextEncoder().encode(text);
const table = (() => {
  const read = readPoints({ definition: 'isb-elbow', csvBytes: csv, points: FIVE_POINTS });
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  return read.value;
})();
const published = (text: Uint8Array, names = ISB) => {
  const read = readPublished('published', text, names);
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  return read.published;
};
const found = (input: Partial<Parameters<typeof angleFinding>[0]>) => {
  const outcome = angleFinding({ table, ...input });
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  serialiseFinding(outcome.finding);
  return outcome.finding;
};
/** Every row of the independent angles beside the points: tests/reference/angles/README.md. */
const independent = (() => {
  const [header, ...lines] = csv
    .toString()
    .trim()
    .split('\n')
    .map((line) => line.split(','));
  const column = (name: string) => lines.map((cells) => cells[header!.indexOf(name)]!);
  return (name: string, as: string) =>
    bytes(
      `row,${as}\n${column(name)
        .map((v, i) => `${i + 1},${v}`)
        .join('\n')}\n`,
    );
})();

describe('a published angle reproduced', () => {
  it('to every digit of the printed output (Wu et al. 2005 by the documentation named in the file)', () => {
    const finding = found({ published: published(printed) });
    expect(finding.verdict).toBe('too-small-to-matter');
    expect(finding.answer).toContain('to every digit that was printed');
    expect(finding.estimates[0]).toMatchObject({ key: 'largest-difference', unit: 'deg' });
    expect(finding.estimates[0]!.value).toBeLessThan(5e-9 * (1 + 1e-9));
    expect(finding.tables.differences).toHaveLength(9);
    expect(finding.tables.steps.map(({ symbol }) => symbol)).toContain('R');
    expect(finding.tables.definitions).toHaveLength(5);
    expect(finding.tables.budget).toMatchObject({ noise_mm: 1, assumed: true });
  });

  it('over all 700 rows of angles computed independently', () => {
    const finding = found({ published: published(independent('isb_flexion_deg', 'flexion_deg')) });
    expect(finding.tables.differences).toHaveLength(700);
    // Points and angles were written with nine digits.
    expect(finding.estimates[0]!.value).toBeLessThan(1e-4);
    expect(finding.verdict).toBe('too-small-to-matter');
  });

  it('names the definition that was published instead', () => {
    const finding = found({
      published: published(independent('threepoint_flexion_deg', 'flexion_deg')),
      tolerance_deg: 0.01,
    });
    expect(finding.verdict).toBe('meaningful');
    expect(finding.answer).toContain(
      'those of another definition: three points, forearm to the ulnar styloid',
    );
    expect(finding.next?.[0]).toContain('three points');
    expect(finding.sensitivity.map(({ verdict }) => verdict)).toEqual([
      'too-small-to-matter',
      ...Array(4).fill('meaningful'),
    ]);
  });

  it('a constant shift is found as the mean difference, with its sign', () => {
    const finding = found({
      published: published(bytes('row,flexion_deg\n1,14.29122882\n2,19.10954895\n3,24.21675916\n')),
    });
    expect(finding.estimates.find(({ key }) => key === 'mean-difference-flexion')!.value).toBeCloseTo(2, 6);
    expect(finding.estimates.find(({ key }) => key === 'root-mean-square-flexion')!.value).toBeCloseTo(2, 6);
    expect(finding.answer).toMatch(/^No: .*2\.00 deg \(row [123], flexion\), beyond the 0\.1 deg allowed/);
  });

  it('other markers with noise can leave it open', () => {
    const near = bytes('row,flexion_deg\n1,16.4\n');
    expect(found({ published: published(near) }).verdict).toBe('meaningful');
    const noisy = found({ published: published(near), noise_mm: 1 });
    expect(noisy.verdict).toBe('cannot-tell');
    expect(noisy.answer).toContain('1 mm of marker noise');
    expect(found({ published: published(near), noise_mm: 0.0001 }).verdict).toBe('meaningful');
  });

  it('without anything published works the angle out and says so; rows that are not there are left out', () => {
    const nothing = found({});
    expect(nothing.verdict).toBe('cannot-tell');
    expect(nothing.answer).toContain('Nothing published was given to reproduce');
    expect(nothing.answer).toContain('flexion 16.29 deg');
    const beyond = found({ published: published(bytes('row,flexion_deg\n9999,3\n')) });
    expect(beyond.verdict).toBe('cannot-tell');
    expect(beyond.leftOut[0]).toMatchObject({ count: 1, table: 'published angles' });
    expect(beyond.estimates.every(({ value }) => value === null || Number.isFinite(value))).toBe(true);
  });

  it('three points have their own angle, steps and page', () => {
    const read = readPoints({
      definition: 'three-point-elbow',
      csvBytes: bytes('S_x,S_y,S_z,E_x,E_y,E_z,W_x,W_y,W_z\n0,300,0,0,0,0,250,0,0\n0,300,0,0,0,0,0,-250,0\n'),
      points: { shoulder: 'S', elbow: 'E', wrist: 'W' },
      unit: 'mm',
    });
    if (!read.ok) throw new Error(JSON.stringify(read.problems));
    // A right angle, and a straight arm, by construction.
    const outcome = angleFinding({
      table: read.value,
      published: published(bytes('row,angle_deg\n1,90\n2,0\n'), ['angle_deg']),
    });
    if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
    expect(outcome.finding.verdict).toBe('too-small-to-matter');
    expect(Object.keys(reportFiles(outcome.finding))).toContain('differences.csv');
  });

  it('gives the same bytes twice, and a page with every step', () => {
    const files = reportFiles(found({ published: published(printed) }));
    expect(reportFiles(found({ published: published(printed) }))).toEqual(files);
    const page = files['angle.html']!;
    for (const words of [
      'Reproduced',
      'Every step of row 1',
      'Which marker is to blame',
      'J Biomech 38:981-992',
      '--published PUBLISHED',
    ])
      expect(page).toContain(words);
    expect(page.replaceAll(/<script[\s\S]*?<\/script>/g, '')).not.toMatch(/NaN|undefined|Infinity|golfers</);
    expect(Object.keys(files)).toEqual(
      expect.arrayContaining(['steps.csv', 'error-budget.csv', 'differences.svg']),
    );
  });
});

describe('where a difference stands and its sentence, every branch', () => {
  it.each([
    [null, false, false, 'nothing-published', 'cannot-tell'],
    [null, true, false, 'no-row', 'cannot-tell'],
    [[0.05, 0.05], true, true, 'every-digit', 'too-small-to-matter'],
    [[0.1, 0.1], true, false, 'within', 'too-small-to-matter'],
    [[0.05, 0.2], true, false, 'border', 'cannot-tell'],
    [[0.11, 0.11], true, false, 'beyond', 'meaningful'],
  ] as const)('%j: %s %s %s', (interval, isPublished, everyDigit, standing, verdict) => {
    expect(
      angleStanding(interval === null ? null : { largestInterval: interval }, isPublished, everyDigit, 0.1),
    ).toBe(standing);
    expect(angleVerdict(standing)).toBe(verdict);
  });
  const summary = {
    rows: 3,
    rootMeanSquare: 1,
    mean: 1,
    meanInterval: null,
    largestInterval: [2, 2] as const,
    largest: {
      row: 2,
      angle: 'flexion_deg',
      published: 20,
      worked: 18,
      difference: -2,
      noiseSd: null,
      everyDigit: false,
    },
  };
  it.each([
    ['every-digit', null, 'Yes: the elbow angle'],
    ['within', null, 'though not to every digit'],
    ['beyond', null, 'Look at the side'],
    ['beyond', 'three points', 'those of another definition: three points.'],
    ['border', null, 'could carry it to either side'],
    ['nothing-published', null, 'Nothing published was given'],
    ['no-row', null, 'no published row has points'],
  ] as const)('%s, %s', (standing: AngleStanding, other, words) => {
    const sentence = angleSentence({
      standing,
      label: 'the elbow angle',
      summary,
      tolerance: 0.1,
      rows: 3,
      noise_mm: 1,
      worked: 'flexion 16.29 deg in row 1',
      other,
    });
    expect(sentence).toContain(words);
    expect(sentence).toMatch(/\.$/);
  });
  it('turns the short way round', () => {
    expect(turnBetween(-179, 179)).toBe(2);
    expect(turnBetween(179, -179)).toBe(-2);
    expect(turnBetween(180, 0)).toBe(180);
  });
});

describe('published angles that cannot be read', () => {
  it.each([
    ['{ "angles": [', 'not JSON'],
    ['{ "angles": 3 }', 'no list `angles`'],
    ['{ "angles": [{ "row": 1, "bend": 3 }] }', 'bend'],
    ['{ "angles": [{ "row": 0, "flexion_deg": 3 }] }', 'row 0'],
    ['{ "angles": [{ "row": 1, "flexion_deg": "x" }] }', 'flexion_deg x'],
    ['{ "angles": [{ "row": 1, "flexion_deg": 3 }, { "row": 1, "flexion_deg": 3 }] }', 'a second time'],
    ['{ "angles": [] }', 'no angle'],
    ['row,bend\n1,2\n', 'the columns row, bend'],
    ['row,flexion_deg\n1.5,2\n', 'row 1.5'],
    ['row,flexion_deg\n1,2,3\n', ''],
  ])('%j', (text, words) => {
    const read = readPublished('p', bytes(text), ISB);
    expect(read.ok).toBe(false);
    if (!read.ok) {
      expect(read.problems.map(({ found: what }) => what).join(' ')).toContain(words);
      for (const problem of read.problems)
        expect(Object.keys(problem).sort()).toEqual(['expected', 'found', 'remedy', 'where']);
    }
  });
  it('a tolerance or a row that cannot be is refused in words', () => {
    for (const input of [{ tolerance_deg: 0 }, { tolerance_deg: Number.NaN }, { row: 7000 }])
      expect(angleFinding({ table, ...input }).ok).toBe(false);
  });
});
