import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Problem } from '../../src/dataset/index.ts';
import { loadFiles, ROSTER } from './roster.ts';

const FILES = ['golfers.csv', 'sessions.csv', 'swings.csv', 'datapackage.json'] as const;
const DESCRIPTOR =
  '{"title":"x","resources":[{"name":"golfers","path":"golfers.csv"},{"name":"swings","path":"swings.csv"}]}';
const base = (file: string) => Buffer.from(ROSTER[file] ?? DESCRIPTOR, 'utf8');

const NASTY = [
  '"',
  '""',
  ',',
  '\n',
  '\r',
  '\r\n',
  '\0',
  '\uFEFF',
  ';',
  '\t',
  '=cmd',
  '__proto__',
  '-999',
  'NaN',
  '1e309',
  '\u202e',
  '../',
  ' ',
  '"'.repeat(50),
  'x'.repeat(5000),
].map((text) => Buffer.from(text));

/** A place, how many bytes go, and what comes in their stead. */
const mutation = fc.tuple(
  fc.constantFrom(...FILES),
  fc.nat(400),
  fc.nat(12),
  fc.oneof(
    fc.constantFrom(...NASTY),
    fc.uint8Array({ maxLength: 6 }).map((bytes) => Buffer.from(bytes)),
  ),
);

function wellFormed(problem: Problem): boolean {
  const words = [problem.table, problem.found, problem.expected, problem.remedy];
  const row = problem.row === null || (Number.isInteger(problem.row) && problem.row >= 1);
  return row && words.every((word) => typeof word === 'string' && word !== '');
}

describe('mutated folders', () => {
  it('never make it throw; what is wrong is always said in full', async () => {
    let broken = 0;
    await fc.assert(
      fc.asyncProperty(fc.array(mutation, { minLength: 1, maxLength: 4 }), async (mutations) => {
        const files = new Map<string, Buffer>(FILES.map((file) => [file, base(file)]));
        for (const [file, place, gone, come] of mutations) {
          const bytes = files.get(file)!;
          const at = Math.min(place, bytes.length);
          files.set(file, Buffer.concat([bytes.subarray(0, at), come, bytes.subarray(at + gone)]));
        }
        const loaded = await loadFiles(Object.fromEntries(files));
        expect(loaded.valid).toBe(!loaded.problems.some(({ severity }) => severity === 'error'));
        for (const problem of loaded.problems)
          expect(wellFormed(problem), JSON.stringify(problem)).toBe(true);
        if (loaded.problems.length > 0) broken += 1;
        expect(({} as Record<string, unknown>).polluted).toBeUndefined();
      }),
      { numRuns: 300, seed: 8 },
    );
    // Most mutations break something; a check that found nothing wrong would not.
    expect(broken).toBeGreaterThan(150);
  });
});
