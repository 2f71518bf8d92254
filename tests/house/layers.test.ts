import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { allBreaches, breachesIn } from './layers.ts';

const root = fileURLToPath(new URL('../../src', import.meta.url));

describe('a folder imports only from those below it', () => {
  it('holds for every file of src/', () => {
    expect(allBreaches(root)).toEqual([]);
  });

  it.each([
    ['stats/x.ts', "import { a } from '../dataset/index.ts';", 'above it'],
    ['stats/x.ts', "export * from '../report/index.ts';", 'above it'],
    ['stats/x.ts', "import type { A } from '../kinematics/index.ts';", 'above it'],
    ['studies/x.ts', "import { a } from '../stats/models/contract.ts';", 'reaches past'],
    ['cli/commands/x.ts', "const m = await import('../../studies/finding.ts');", 'reaches past'],
    ['report/x.ts', "import { a } from '../../tests/a.ts';", 'outside src/'],
    ['golf/x.ts', '', 'no folder of the house'],
  ])('names a breach in %s: %s', (file, text, why) => {
    const breaches = breachesIn(root, `${root}/${file}`, text);
    expect(breaches).toHaveLength(1);
    expect(breaches[0]?.why).toContain(why);
  });

  it.each([
    ['studies/x.ts', "import { a } from '../stats/index.ts';"],
    ['stats/models/x.ts', "import { a } from '../trial/b.ts';"],
    ['cli/commands/x.ts', "import { a } from '../output.ts';\nimport { readFileSync } from 'node:fs';"],
  ])('lets %s import what it may', (file, text) => {
    expect(breachesIn(root, `${root}/${file}`, text)).toEqual([]);
  });
});
