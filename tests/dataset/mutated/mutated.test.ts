/** A part of what run.ts tries; mutated.json beside it has what came of all of it. */
import { mkdtemp, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { expect, it, vi } from 'vitest';
import { inTempFolder } from '../roster.ts';
import { KINDS } from './kinds.ts';
import { prepared, tryOne } from './try-one.ts';

const EACH = 8;

it(`crashes on none of ${EACH} mutated inputs of each kind, and answers in words for people`, {
  timeout: 300_000,
}, async () => {
  await inTempFolder(async (root) => {
    const seeds = await prepared(join(root, 'seeds'));
    const counts = { valid: 0, refused: 0 };
    for (const [kind, { run }] of Object.entries(KINDS)) {
      for (const whole of seeds.get(kind)!)
        expect((await run(whole, await mkdtemp(join(root, 'whole-')))).valid, `${kind} as it is`).toBe(true);
      for (let number = 0; number < EACH; number += 1) {
        const outcome = await tryOne({ kind, number }, seeds, await mkdtemp(join(root, 'try-')));
        expect(outcome.is, `${kind} ${number}: ${JSON.stringify(outcome)}`).toMatch(/^(?:valid|refused)$/);
        counts[outcome.is as 'valid' | 'refused'] += 1;
      }
    }
    // Mutations that broke nothing, or everything, would test nothing.
    expect(Math.min(counts.valid, counts.refused)).toBeGreaterThan(0.2 * EACH * Object.keys(KINDS).length);
  });
});

it('is a part of 5,000 and more that were tried, of which none crashed, hung or was answered in words of the machine', async () => {
  const { inputs, counts, faults } = JSON.parse(
    await readFile(join(import.meta.dirname, 'mutated.json'), 'utf8'),
  );
  expect(inputs).toBeGreaterThanOrEqual(5000);
  expect(Object.keys(counts)).toEqual(Object.keys(KINDS));
  expect(faults).toEqual([]);
});

it('can fail: an exception and words of the machine are told from answers', async () => {
  await inTempFolder(async (root) => {
    const trial = { kind: 'plan.json', number: 0 };
    const seeds = new Map([['plan.json', [new TextEncoder().encode('{"a": 1}')]]]);
    const kind = KINDS['plan.json']!;
    const ran = async (run: typeof kind.run) => {
      const spy = vi.spyOn(kind, 'run').mockImplementation(run);
      const outcome = await tryOne(trial, seeds, root);
      spy.mockRestore();
      return outcome.is;
    };
    expect(await ran(() => ({ valid: false, words: ['no plan'] }))).toBe('refused');
    expect(await ran(() => JSON.parse('{'))).toBe('crash');
    expect(
      await ran(() => ({ valid: false, words: ["Cannot read properties of undefined (reading 'x')"] })),
    ).toBe('words of the machine');
  });
});
