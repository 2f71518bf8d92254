import { appendFile, readFile, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type Dataset,
  datasetFromRows,
  eraseGolfer,
  loadDataset,
  type RowsInput,
  type Shared,
  shareDataset,
  writeDataset,
} from '../../../src/dataset/index.ts';
import { heldBack } from '../../../src/dataset/privacy/share/hold-back.ts';
import { inTempFolder } from '../roster.ts';
import { people, QUASI, type Row, roster } from './share-roster.ts';

interface Export {
  readonly dataset: Dataset;
  readonly shared: Shared;
}

type Change = (rows: RowsInput) => RowsInput;

/** Golfers of one kind, whose consent is none until they come, or is taken back when they go. */
function withConsent(who: readonly string[], scope: string): Change {
  return (rows) => ({
    ...rows,
    golfers: rows.golfers!.map((row) =>
      who.includes(row.golfer_id) ? { ...row, consent_scope: scope } : row,
    ),
  });
}

async function shareOf(
  root: string,
  rows: RowsInput,
  name: string,
  memory: 'kept' | 'lost',
): Promise<Export> {
  const folder = join(root, 'roster');
  const old = await readFile(join(folder, '.shares.jsonl'), 'utf8').catch(() => null);
  await rm(folder, { recursive: true, force: true });
  const made = datasetFromRows(rows);
  if (!made.valid) throw new Error(JSON.stringify(made.problems));
  await writeDataset(folder, made.value);
  if (old !== null && memory === 'kept') await writeFile(join(folder, '.shares.jsonl'), old);
  return exportOf(root, name);
}

async function exportOf(root: string, name: string): Promise<Export> {
  const out = join(root, name);
  const shared = await shareDataset({ folder: join(root, 'roster'), out, scope: 'share' });
  if (!shared.valid) throw new Error(JSON.stringify(shared.problems));
  const loaded = await loadDataset(out);
  if (!loaded.valid) throw new Error(JSON.stringify(loaded.problems));
  return { dataset: loaded.value, shared: shared.value };
}

/** Codes change from export to export; the swings do not, and by them whoever holds two exports finds a golfer again. */
function bySwings({ dataset: { tables } }: Export): ReadonlyMap<string, Row> {
  const owner = new Map(
    tables.sessions.column('session_id').map((id, row) => [id, tables.sessions.column('golfer_id')[row]]),
  );
  const speeds = new Map<string, string[]>();
  for (const { session_id, club_speed_mps } of tables.swings.rows()) {
    const golfer = owner.get(session_id)!;
    speeds.set(golfer, [...(speeds.get(golfer) ?? []), String(club_speed_mps)]);
  }
  return new Map(
    people({ tables } as Dataset).map((row) => [speeds.get(String(row.golfer_id))!.sort().join(), row]),
  );
}

const said = (row: Row | undefined): string =>
  JSON.stringify(row === undefined ? null : [...QUASI.map((name) => row[name] ?? null), row.visits]);

/** The smallest group that two exports make out together: by what each says of a golfer, or that it says nothing. */
function smallestTogether(first: Export, second: Export): number {
  const [a, b] = [bySwings(first), bySwings(second)];
  const counts = new Map<string, number>();
  for (const golfer of new Set([...a.keys(), ...b.keys()])) {
    const together = `${said(a.get(golfer))} ${said(b.get(golfer))}`;
    counts.set(together, (counts.get(together) ?? 0) + 1);
  }
  return Math.min(...counts.values());
}

/** Somebody whom the first export has: an ordinary right-hander. */
const ONE = ['G002', 'G004', 'G006', 'G008', 'G010', 'G012'];

const TIMES: readonly (readonly [string, Change, Change])[] = [
  ['somebody came', withConsent(ONE, 'none'), (rows) => rows],
  ['somebody went', (rows) => rows, withConsent(ONE, 'none')],
  ['somebody narrowed the consent', (rows) => rows, withConsent(ONE, 'study')],
  [
    'three play from the other side now',
    (rows) => rows,
    (rows) => ({
      ...rows,
      golfers: rows.golfers!.map((row, k) =>
        k % 80 === 20 ? { ...row, plays: row.plays === 'left' ? 'right' : 'left' } : row,
      ),
    }),
  ],
  [
    'a visit was added',
    (rows) => ({
      ...rows,
      sessions: rows.sessions!.filter(keptVisit),
      swings: rows.swings!.filter(keptSwing),
    }),
    (rows) => rows,
  ],
];

function keptVisit({ session_id }: { readonly session_id: string }): boolean {
  return !/^G0[2-5]\d-S3/.test(session_id);
}

function keptSwing({ session_id }: { readonly session_id: string }): boolean {
  return keptVisit({ session_id });
}

describe('an attack on two exports of a roster at two times', () => {
  it.each(TIMES)(
    'finds nobody alone where %s; and does where the first is not remembered',
    async (_, asItWas, asItIs) => {
      await inTempFolder(async (root) => {
        const first = await shareOf(root, asItWas(roster()), 'first', 'kept');
        const second = await shareOf(root, asItIs(roster()), 'second', 'kept');
        expect([first.shared.earlier, second.shared.earlier]).toEqual([0, 1]);
        expect(smallestTogether(first, second)).toBeGreaterThanOrEqual(5);
        expect(second.shared.golfers).toBeGreaterThan(40);
        const forgetful = await shareOf(root, asItIs(roster()), 'forgetful', 'lost');
        expect(forgetful.shared.earlier).toBe(0);
        expect(smallestTogether(first, forgetful)).toBeLessThan(5);
      });
    },
  );

  it('finds nobody alone after an erasure, and the memory does not name who it was', async () => {
    await inTempFolder(async (root) => {
      const first = await shareOf(root, roster(), 'first', 'kept');
      const memory = join(root, 'roster', '.shares.jsonl');
      const golfer = /"golfer":"(G\d+)"/.exec(await readFile(memory, 'utf8'))![1]!;
      expect((await eraseGolfer(join(root, 'roster'), golfer)).ok).toBe(true);
      expect(await readFile(memory, 'utf8')).not.toContain(golfer);
      const second = await exportOf(root, 'second');
      expect(smallestTogether(first, second)).toBeGreaterThanOrEqual(5);
      expect(first.shared.golfers - second.shared.golfers).toBeGreaterThanOrEqual(5);
    });
  });

  it('finds nobody alone in three exports', async () => {
    await inTempFolder(async (root) => {
      const exports = [
        await shareOf(root, withConsent(ONE, 'none')(roster()), 'a', 'kept'),
        await shareOf(root, withConsent(['G020'], 'none')(roster()), 'b', 'kept'),
        await shareOf(root, roster(), 'c', 'kept'),
      ] as const;
      for (const [a, b] of [
        [0, 1],
        [1, 2],
        [0, 2],
      ] as const)
        expect(smallestTogether(exports[a], exports[b])).toBeGreaterThanOrEqual(5);
    });
  });

  it('is told of no memory that was changed', async () => {
    await inTempFolder(async (root) => {
      await shareOf(root, roster(), 'first', 'kept');
      await appendFile(join(root, 'roster', '.shares.jsonl'), 'x\n');
      await expect(exportOf(root, 'second')).rejects.toThrow('has a line that was not written by an export');
    });
  });
});

describe('who is held back', () => {
  it('leaves nobody or enough missing of each history, and no group too small', () => {
    const golfer = fc.record({ history: fc.nat(2), group: fc.nat(2), isShown: fc.boolean() });
    fc.assert(
      fc.property(fc.array(golfer, { maxLength: 60 }), (drawn) => {
        const historyOf = new Map(drawn.map(({ history }, k) => [String(k), String(history)]));
        const sizes = new Map<string, number>();
        const nameOf = ({ history, group }: (typeof drawn)[number]): string => `${history} ${group}`;
        for (const one of drawn) if (one.isShown) sizes.set(nameOf(one), (sizes.get(nameOf(one)) ?? 0) + 1);
        const groupOf = new Map(
          drawn.flatMap((one, k): [string, string][] =>
            one.isShown && sizes.get(nameOf(one))! >= 5 ? [[String(k), nameOf(one)]] : [],
          ),
        );
        const held = heldBack({ groupOf, historyOf }, 5);
        const shown = [...groupOf.keys()].filter((one) => !held.has(one));
        for (const history of new Set(historyOf.values())) {
          const of = [...historyOf].filter(([, own]) => own === history).map(([one]) => one);
          const there = of.filter((one) => shown.includes(one));
          expect(there.length === 0 || of.length === there.length || of.length - there.length >= 5).toBe(
            true,
          );
        }
        for (const group of new Set(groupOf.values())) {
          const left = shown.filter((one) => groupOf.get(one) === group).length;
          expect(left === 0 || left >= 5).toBe(true);
        }
      }),
      { numRuns: 500, seed: 8 },
    );
  });
});
