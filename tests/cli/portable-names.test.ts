import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { unportable, whyNotPortable } from '../../src/cli/export/portable-names.ts';
import { trialRows, type, untidy, writeRows } from './harness.ts';

/** Names that Microsoft lists as reserved or forbidden ("Naming Files, Paths, and Namespaces"), and some that only look like them. */
describe('a name in an archive', () => {
  it.each([
    ...[
      'CON',
      'prn',
      'AUX.txt',
      'nul',
      'Nul.tar.gz',
      'COM1',
      'com9.csv',
      'LPT¹',
      'com0',
      'CONOUT$',
      'aux .txt',
    ],
    ...[
      'a<b',
      'a>b',
      'a:b',
      'a"b',
      'a|b',
      'a?b',
      'a*b',
      'a\\b',
      'a\0b',
      'a\tb',
      'plan.',
      'plan ',
      'x'.repeat(256),
    ],
  ])('%j cannot be unpacked everywhere', (name) => {
    expect(whyNotPortable(name)).not.toBeNull();
    expect(unportable([`plan/${name}`])).toHaveLength(1);
  });

  it.each([
    'CONTROL',
    'auxiliary.json',
    'com10',
    'nul-hypothesis.ts',
    'my plan.json',
    '.hidden',
    'Übung.csv',
    'a,b',
  ])('%j can', (name) => {
    expect(whyNotPortable(name)).toBeNull();
  });

  it('must not differ from another in capitals or in how an accent is composed only', () => {
    expect(
      unportable(['data/Plan.json', 'data/plan.json', 'data/é', 'data/e\u0301', 'plan/plan.json']),
    ).toHaveLength(2);
  });

  it('is refused in words before anything is written (2)', async () => {
    const rows = trialRows({
      golfersPerArm: 6,
      swingsPerSession: 4,
      arms: ['drill', 'control'],
      value: untidy,
    });
    for (const golfer of rows.golfers ?? [])
      Object.assign(golfer, { plays: 'right', age_band: '30-39', consent_scope: 'share' });
    const data = await writeRows(rows);
    const [plan, report, out] = ['aux.json', 'report', 'report.zip'].map((name) =>
      join(data, '..', name),
    ) as [string, string, string];
    await writeFile(
      plan,
      JSON.stringify({
        study: 'drill-trial',
        question: 'Does the drill lean the shaft forward?',
        metric: { column: 'shaft_lean_impact_deg' },
        arms: { control: 'control', drill: ['drill'] },
        smallestChangeThatMatters: { value: 2, why: 'The coach sees 2 deg.' },
      }),
    );
    expect((await type('ask', 'drill-trial', '--data', data, '--plan', plan, '--out', report)).exit).toBe(0);
    const { exit, err } = await type('export', report, '--data', data, '--plan', plan, '--out', out);
    expect(exit).toBe(2);
    expect(err).toContain('plan/aux.json: found a name that Windows keeps for a device.');
    expect(err).toContain('rename the file');
  }, 60_000);
});
