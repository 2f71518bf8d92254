import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { importFile, proposeMapping } from '../../../src/dataset/index.ts';
import { HARM } from '../mutated/mutate.ts';
import { inTempFolder } from '../roster.ts';
import { answered } from './importing.ts';

const FOLDER = join(import.meta.dirname, 'broken');
const SEEDS = readdirSync(FOLDER)
  .filter((name) => !name.endsWith('.ts'))
  .sort()
  .map((name) => ({ name, bytes: new Uint8Array(readFileSync(join(FOLDER, name))) }))
  .filter(({ bytes }) => bytes.byteLength > 0 && bytes.byteLength < 10_000);

/** A lone surrogate besides, which is no text at all. */
const HARMS = [...HARM, '\uD800'];

interface Change {
  readonly at: number;
  readonly kind: 'byte' | 'cut' | 'copy' | 'harm' | 'drop';
  readonly value: number;
}
const change = fc.record({
  at: fc.double({ min: 0, max: 1, noNaN: true }),
  kind: fc.constantFrom<Change['kind']>('byte', 'cut', 'copy', 'harm', 'drop'),
  value: fc.integer({ min: 0, max: 255 }),
});

function mutated(bytes: Uint8Array, changes: readonly Change[]): Uint8Array {
  let now = Buffer.from(bytes);
  for (const { at, kind, value } of changes) {
    const place = Math.floor(at * now.byteLength);
    const [head, tail] = [now.subarray(0, place), now.subarray(place)];
    if (kind === 'byte' && tail.byteLength > 0)
      now = Buffer.concat([head, Uint8Array.of(value), tail.subarray(1)]);
    if (kind === 'cut' && value > 200) now = Buffer.from(head);
    if (kind === 'copy') now = Buffer.concat([head, tail.subarray(0, value), tail]);
    if (kind === 'harm') now = Buffer.concat([head, Buffer.from(HARMS[value % HARMS.length]!), tail]);
    if (kind === 'drop') now = Buffer.concat([head, tail.subarray(value % 8)]);
  }
  return new Uint8Array(now);
}

it('neither crashes nor loses a row on 1,200 mutated spreadsheets', { timeout: 120_000 }, async () => {
  let [refused, took] = [0, 0];
  await inTempFolder(async (root) => {
    let run = 0;
    await fc.assert(
      fc.asyncProperty(
        fc.constantFrom(...SEEDS),
        fc.array(change, { minLength: 1, maxLength: 4 }),
        async ({ name, bytes }, changes) => {
          const source = mutated(bytes, changes);
          const proposal = proposeMapping(source, name);
          if (!proposal.ok) {
            refused += 1;
            expect(proposal.problems.length).toBeGreaterThan(0);
            for (const problem of proposal.problems)
              expect(Object.values(problem).every((words) => words !== '')).toBe(true);
            return;
          }
          run += 1;
          const mapping = answered(proposal.mapping, (open) => {
            // Any answer will do here: what is asked must not be able to break what follows.
            for (const golfer of open.golfers) {
              if (golfer.golfer_id === 'ask') golfer.golfer_id = 'G99';
              if (golfer.plays === 'ask') golfer.plays = 'right';
              if (golfer.same === 'ask') golfer.same = 'yes';
            }
            for (const column of open.columns) {
              if (
                column.to === 'ask' ||
                column.unit === 'ask' ||
                column.words?.some(({ means }) => means === 'ask')
              ) {
                column.to = null;
                delete column.unit;
                delete column.words;
              }
              if (column.convention === 'ask') column.convention = 'as-is';
            }
            if (open.reading.date_order === 'ask') open.reading.date_order = 'day-first';
            if (open.reading.decimal === 'ask') open.reading.decimal = '.';
            if (open.reading.hidden_rows === 'ask') open.reading.hidden_rows = 'take';
            if (open.sessions.date === 'ask') open.sessions.date = '2026-03-04';
          });
          const result = await importFile({ mapping, source, data: join(root, `d${run}`) });
          if (!result.ok) {
            refused += 1;
            expect(result.problems.length).toBeGreaterThan(0);
            return;
          }
          took += 1;
          const { counts, leftOut } = result.value;
          expect(counts.rows).toBe(proposal.rows);
          expect(counts.rows).toBe(counts.imported + counts.joined + counts.alreadyThere + counts.leftOut);
          expect(leftOut).toHaveLength(counts.leftOut);
        },
      ),
      { numRuns: 1200, seed: 8 },
    );
  });
  // Otherwise the mutations would break every file, or none.
  expect(took).toBeGreaterThan(50);
  expect(refused).toBeGreaterThan(50);
});
