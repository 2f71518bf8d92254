/**
 * What cannot be fitted, typed at a shell: exit 2, the problem on stdout as JSON, in words without it, no stack
 * trace.
 */
import { mkdtemp, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { type } from './harness.ts';

const HEAD = 'y,x,twice,same,far,golfer,coach,swing';
const ROWS = Array.from({ length: 12 }, (_, i) => {
  const y = [3, 4, 6, 5, 9, 7, 8, 12, 10, 11, 13, 15][i]!;
  return [y, i + 1, 2 * (i + 1), 4, i === 4 ? 'Infinity' : i, 'abcd'[Math.floor(i / 3)], 'I1', i].join(',');
});

async function typeFit(model: unknown, ...more: string[]) {
  const folder = await mkdtemp(join(tmpdir(), 'proving-range-'));
  await writeFile(join(folder, 'data.csv'), `${[HEAD, ...ROWS].join('\n')}\n`);
  await writeFile(join(folder, 'model.json'), JSON.stringify(model));
  return type('fit', '--model', join(folder, 'model.json'), '--data', join(folder, 'data.csv'), ...more);
}
const line = ['intercept', { column: 'x' }];
const by = (group: string, ...effects: string[]) => [{ group, effects }];

describe('fit', () => {
  it.each([
    [
      'an unknown column',
      { outcome: 'y', fixed: ['intercept', { column: 'twise' }] },
      'unknown-column',
      /twise/,
      /twice/,
    ],
    [
      'a group with one level',
      { outcome: 'y', fixed: line, random: by('coach', 'intercept') },
      'one-level',
      /I1/,
      /random term/,
    ],
    [
      'more random effects than rows',
      { outcome: 'y', fixed: line, random: by('swing', 'intercept', 'x') },
      'too-many-effects',
      /2 random effects/,
      /fewer effects|coarser/,
    ],
    [
      'collinear columns',
      { outcome: 'y', fixed: [...line, { column: 'twice' }] },
      'collinear',
      /twice, which can be computed from x/,
      /out/,
    ],
    [
      'a constant outcome',
      { outcome: 'same', fixed: line },
      'constant-outcome',
      /4 in every one of 12 rows/,
      /Check the column/,
    ],
    [
      'an infinity',
      { outcome: 'y', fixed: ['intercept', { column: 'far' }] },
      'not-a-number',
      /infinite value in far, data row 5/,
      /empty/,
    ],
    [
      'robust groups of one level',
      { outcome: 'y', fixed: line, inference: { robust: { kind: 'cr2', group: 'coach' } } },
      'one-level',
      /I1/,
      /hc3/,
    ],
  ])('%s', async (_, model, kind, found, remedy) => {
    const typed = await typeFit(model, '--json');
    expect(typed.exit).toBe(2);
    const { problems } = JSON.parse(typed.out) as {
      problems: { kind: string; found: string; remedy: string }[];
    };
    const problem = problems.find((one) => one.kind === kind)!;
    expect(problem.found).toMatch(found);
    expect(problem.remedy).toMatch(remedy);
    const words = await typeFit(model);
    expect(words.exit).toBe(2);
    expect(words.out + words.err).toMatch(found);
    expect(words.out + words.err).not.toMatch(/\bat .*\.ts:\d+|NaN|undefined/);
  });

  it('robust standard errors are fitted, and said to be such', async () => {
    const typed = await typeFit(
      { outcome: 'y', fixed: line, inference: { robust: { kind: 'cr2', group: 'golfer' } } },
      '--json',
    );
    expect(typed.exit).toBe(0);
    const result = JSON.parse(typed.out);
    expect(result.fixed[1].degreesOfFreedom).toBeLessThan(4);
    expect(result.diagnosis.notes.join(' ')).toContain('CR2 over 4 groups');
  });
});
