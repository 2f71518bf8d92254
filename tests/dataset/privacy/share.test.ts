import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { filesUnder } from '../../../src/dataset/folder-replacement.ts';
import {
  type Dataset,
  datasetFromRows,
  loadDataset,
  type RowsInput,
  type Shared,
  shareDataset,
  writeDataset,
} from '../../../src/dataset/index.ts';
import { youngestOf } from '../../../src/dataset/privacy/share/consent.ts';
import { generalise, type Person } from '../../../src/dataset/privacy/share/generalise.ts';
import { valuesShown } from '../../../src/dataset/privacy/share/rare-values.ts';
import { inTempFolder } from '../roster.ts';
import { cells, people, QUASI, type Row, roster, smallest } from './share-roster.ts';

interface Export {
  readonly dataset: Dataset;
  readonly shared: Shared;
  readonly folder: string;
}

/** The roster, and its exports for both scopes, all loaded again from their folders. */
async function exported(
  work: (raw: Dataset, study: Export, share: Export) => Promise<void> | void,
): Promise<void> {
  await inTempFolder(async (root) => {
    const made = datasetFromRows(roster());
    if (!made.valid) throw new Error(JSON.stringify(made.problems));
    const folder = join(root, 'roster');
    await writeDataset(folder, made.value);
    const make = async (scope: 'study' | 'share'): Promise<Export> => {
      const out = join(root, scope);
      const shared = await shareDataset({ folder, out, scope, key: new Uint8Array(32).fill(1) });
      if (!shared.valid) throw new Error(JSON.stringify(shared.problems));
      const loaded = await loadDataset(out);
      if (!loaded.valid) throw new Error(JSON.stringify(loaded.problems));
      return { dataset: loaded.value, shared: shared.value, folder: out };
    };
    await work(made.value, await make('study'), await make('share'));
  });
}

function difference(
  whole: ReadonlyMap<string, number>,
  part: ReadonlyMap<string, number>,
): ReadonlyMap<string, number> {
  return new Map([...whole].map(([cell, count]) => [cell, count - (part.get(cell) ?? 0)]));
}

/** Visits on a calendar that begins with the first, at the fineness an export states. */
function schedule(row: Row, fineness: string): string {
  const visits = [...(row.visits as { date: string; phase: string }[])].sort((a, b) =>
    a.date < b.date ? -1 : 1,
  );
  const first = Date.parse(visits[0]?.date ?? '2000-01-01');
  const step = fineness === 'weeks' ? 7 : fineness === 'four weeks' ? 28 : null;
  return visits
    .map(({ date, phase }, k) => {
      const days = (Date.parse(date) - first) / 86_400_000;
      return `${phase} ${step === null ? k : Math.floor(days / step)}`;
    })
    .join();
}

describe('an attack on a roster, and on its export', () => {
  it('by a rare combination: one golfer in the roster, five or nobody in the export', async () => {
    await exported((raw, { dataset, shared }) => {
      const [rows, out] = [people(raw), people(dataset)];
      const band = (value: unknown, width: number | undefined): unknown =>
        value == null || width === undefined
          ? null
          : Math.floor((value as number) / width) * width + width / 2;
      const { coarseness } = shared;
      const age = (text: unknown): unknown => {
        const years = youngestOf(text as string)!;
        return [
          text,
          years < 18 ? '0-17' : years < 40 ? '18-39' : years < 60 ? '40-59' : '60+',
          years < 18 ? '0-17' : '18+',
          null,
        ][coarseness.age];
      };
      let unique = 0;
      for (const known of rows) {
        if (rows.filter((row) => QUASI.every((name) => row[name] === known[name])).length === 1) unique += 1;
        // The attacker reads in the export how coarse it is, and looks for whoever fits.
        const fits = out.filter(
          (row) =>
            row.plays === known.plays &&
            row.arm === known.arm &&
            row.age_band === age(known.age_band) &&
            row.handicap_index === band(known.handicap_index, [5, 10, 20][coarseness.handicap]) &&
            row.height_cm === band(known.height_cm, [10, 20][coarseness.height]) &&
            schedule(row, coarseness.visits) === schedule(known, coarseness.visits),
        );
        expect(fits.length === 0 || fits.length >= 5).toBe(true);
      }
      expect(unique).toBeGreaterThan(200);
      expect(out.length).toBeGreaterThan(100);
      // The tall left-hander is not there.
      expect(out.some((row) => row.handicap_index !== null && (row.handicap_index as number) < 0)).toBe(
        false,
      );
    });
  });

  it('by small cells', async () => {
    await exported((raw, study, share) => {
      expect(smallest(cells(people(raw), ...QUASI))).toBe(1);
      for (const { dataset } of [study, share]) {
        const rows = people(dataset);
        for (let subset = 1; subset < 2 ** QUASI.length; subset += 1)
          expect(smallest(cells(rows, ...QUASI.filter((_, k) => (subset >> k) & 1)))).toBeGreaterThanOrEqual(
            5,
          );
        for (const word of new Set(rows.flatMap((row) => [...(row.words as Set<string>)])))
          expect(rows.filter((row) => (row.words as Set<string>).has(word)).length).toBeGreaterThanOrEqual(5);
      }
    });
  });

  it('by taking one table from another', async () => {
    await exported((raw, study, share) => {
      const all = people(raw);
      const rank = ['none', 'coaching', 'study', 'share'];
      const from = (least: number): Row[] =>
        all.filter((row) => rank.indexOf(String(row.consent_scope)) >= least);
      expect(smallest(difference(cells(from(2), ...QUASI), cells(from(3), ...QUASI)))).toBe(1);
      // In the roster the pupils of I9 are whoever is left when those of the other instructors are taken away.
      const known = all.filter((row) => !(row.words as Set<string>).has('instructor I9'));
      expect(all.length - known.length).toBe(2);
      const [whole, part] = [people(study.dataset), people(share.dataset)];
      expect(whole.length).toBeGreaterThan(part.length);
      for (let subset = 0; subset < 2 ** QUASI.length; subset += 1) {
        const names = QUASI.filter((_, k) => (subset >> k) & 1);
        const left = difference(cells(whole, ...names), cells(part, ...names));
        for (const count of left.values()) expect(count === 0 || count >= 5).toBe(true);
      }
      for (const word of new Set(whole.flatMap((row) => [...(row.words as Set<string>)]))) {
        const count = (rows: readonly Row[]): number =>
          rows.filter((row) => (row.words as Set<string>).has(word)).length;
        const left = count(whole) - count(part);
        expect(left === 0 || left >= 5).toBe(true);
        // And those who do not have the word.
        const rest = whole.length - count(whole);
        expect(rest === 0 || rest >= 5).toBe(true);
      }
    });
  });

  it('by a total and its parts: whoever is left when the words are taken away', async () => {
    await inTempFolder(async (root) => {
      // Forty who differ in nothing but the device: thirty, seven and three. The three alone would be who is left.
      const rows = roster();
      const alike = rows.golfers!.slice(0, 40).map((golfer) => ({
        ...golfer,
        plays: 'right' as const,
        age_band: '30-39',
        handicap_index: 12,
        height_cm: 180,
        consent_scope: 'share',
      }));
      const deviceOf = (golfer: string): string => {
        const place = Number(golfer.slice(1)) - 1;
        return place < 30 ? 'D1' : place < 37 ? 'D2' : 'D3';
      };
      const sessions = rows
        .sessions!.filter(({ golfer_id, session_id }) => golfer_id <= 'G040' && session_id.endsWith('-S1'))
        .map((session) => ({ ...session, instructor_id: 'I1', device: deviceOf(session.golfer_id) }));
      const swings = rows.swings!.filter(({ session_id }) =>
        sessions.some((session) => session.session_id === session_id),
      );
      const made = datasetFromRows({ golfers: alike, sessions, swings } as unknown as RowsInput);
      if (!made.valid) throw new Error(JSON.stringify(made.problems));
      await writeDataset(join(root, 'roster'), made.value);
      expect(
        [
          ...cells(
            people(made.value).map(({ words }) => ({ words: [...(words as Set<string>)] })),
            'words',
          ).values(),
        ].sort(),
      ).toEqual([3, 30, 7]);
      const shared = await shareDataset({
        folder: join(root, 'roster'),
        out: join(root, 'out'),
        scope: 'share',
      });
      if (!shared.valid) throw new Error(JSON.stringify(shared.problems));
      const loaded = await loadDataset(join(root, 'out'));
      if (!loaded.valid) throw new Error('invalid');
      const seen = people(loaded.value).map(({ words }) => ({
        device: [...(words as Set<string>)].filter((word) => word.startsWith('device')).join(),
      }));
      expect(seen).toHaveLength(40);
      // D3 is not named, and those without a word are ten: D2 went with it.
      expect(new Map(cells(seen, 'device'))).toEqual(
        new Map([
          ['["device D1"]', 30],
          ['["device "]', 10],
        ]),
      );
    });
  });

  it('by dates', async () => {
    await exported((raw, { dataset, shared }) => {
      const [rows, out] = [people(raw), people(dataset)];
      const exact = (row: Row): string => JSON.stringify(row.visits);
      const alone = rows.filter((known) => rows.filter((row) => exact(row) === exact(known)).length === 1);
      expect(alone.length).toBeGreaterThan(200);
      const dates = new Set(
        rows.flatMap((row) => (row.visits as { date: string }[]).map(({ date }) => date)),
      );
      for (const row of out)
        for (const { date } of row.visits as { date: string }[]) expect(dates.has(date)).toBe(false);
      for (const known of rows) {
        const fits = out.filter(
          (row) => schedule(row, shared.coarseness.visits) === schedule(known, shared.coarseness.visits),
        );
        expect(fits.length === 0 || fits.length >= 5).toBe(true);
      }
    });
  });
});

describe('shareDataset', () => {
  it('holds no id of the roster, and says of few only that they are few', async () => {
    await exported(async (raw, { folder, shared, dataset }) => {
      for (const path of (await filesUnder(folder))!.keys()) {
        if (path === 'datapackage.json') continue;
        const content = await readFile(join(folder, path), 'utf8');
        for (const id of raw.tables.golfers.column('golfer_id'))
          expect(content.includes(String(id))).toBe(false);
      }
      expect(shared.leftOut.minor).toBe(1);
      const readme = await readFile(join(folder, 'README.md'), 'utf8');
      expect(readme).toContain('| minors without the consent of a guardian | fewer than 5 |');
      expect(readme).toContain('| no consent | 5 or more |');
      // The other minor has a guardian's consent, and stands out.
      expect(dataset.tables.golfers.column('age_band').some((band) => band === '12-15')).toBe(false);
      expect(dataset.tables.golfers.has('consent_date')).toBe(false);
      // Whoever saw a golfer on the range at ten would know the row by it.
      expect([raw, dataset].map(({ tables }) => tables.swings.has('time_of_day'))).toEqual([true, false]);
      expect(dataset.tables.golfers.length + Object.values(shared.leftOut).reduce((a, b) => a + b, 0)).toBe(
        240,
      );
    });
  });

  it('gives the same bytes with a key, and other codes without one; each scope has codes of its own', async () => {
    await inTempFolder(async (root) => {
      const made = datasetFromRows(roster());
      if (!made.valid) throw new Error('invalid');
      const folder = join(root, 'roster');
      await writeDataset(folder, made.value);
      const key = new Uint8Array(32).fill(2);
      const codes = async (name: string, scope: 'study' | 'share', own?: Uint8Array): Promise<string> => {
        await shareDataset({
          folder,
          out: join(root, name),
          scope,
          ...(own === undefined ? {} : { key: own }),
        });
        return readFile(join(root, name, 'golfers.csv'), 'utf8');
      };
      const first = await codes('a', 'study', key);
      expect(await codes('b', 'study', key)).toBe(first);
      const drawn = await codes('c', 'study');
      expect(await codes('d', 'study')).not.toBe(drawn);
      const narrow = await codes('e', 'share', key);
      for (const line of narrow.split('\n').slice(1, -1)) expect(first).not.toContain(line.split(',')[0]);
    });
  });

  it('refuses where nobody is left, and writes nothing', async () => {
    await inTempFolder(async (root) => {
      const rows = roster();
      const few = {
        golfers: rows.golfers!.slice(0, 4),
        sessions: rows.sessions!.filter(({ golfer_id }) => golfer_id <= 'G004'),
        swings: rows.swings!.filter(({ session_id }) => session_id < 'G005'),
      };
      const made = datasetFromRows(few);
      if (!made.valid) throw new Error('invalid');
      await writeDataset(join(root, 'roster'), made.value);
      const shared = await shareDataset({
        folder: join(root, 'roster'),
        out: join(root, 'out'),
        scope: 'share',
      });
      expect(shared.valid).toBe(false);
      expect(shared.problems.at(-1)?.found).toContain('no group of five');
      expect(await filesUnder(join(root, 'out'))).toBeNull();
    });
  });
});

describe('an age band', () => {
  it.each([
    ['40-49', 40],
    ['40–49', 40],
    ['60+', 60],
    ['12', 12],
    ['15 to 24', 15],
    ['under 18', 0],
    ['U18', 0],
    ['u-16', 0],
    ['<18', 0],
    ['17 and under', 0],
    ['junior', null],
    ['', null],
    ['1990', null],
    [null, null],
  ])('%j begins at %s', (band, years) => {
    expect(youngestOf(band)).toBe(years);
  });
});

describe('what may be said', () => {
  it('of people is shared by enough, and no more of them are left out than stand out', () => {
    const person = fc.tuple(fc.constantFrom('a', 'b'), fc.nat(7), fc.nat(3));
    fc.assert(
      fc.property(
        fc.array(person, { minLength: 1, maxLength: 60 }),
        fc.integer({ min: 2, max: 6 }),
        (drawn, least) => {
          const made = drawn.map(
            ([fixed, x, y], i): Person => ({
              id: String(i),
              fixed,
              ladders: [
                [String(x), String(x >> 1), String(x >> 2), ''],
                [String(y), ''],
              ],
            }),
          );
          const { levels, kept, leftOut } = generalise(made, least);
          expect([...kept, ...leftOut].sort()).toEqual(made.map(({ id }) => id).sort());
          const said = ({ fixed, ladders }: Person): string =>
            [fixed, ...ladders.map((ladder, k) => ladder[levels[k]!])].join('|');
          const counts = new Map<string, number>();
          for (const one of made) counts.set(said(one), (counts.get(said(one)) ?? 0) + 1);
          for (const one of made) expect(kept.includes(one.id)).toBe(counts.get(said(one))! >= least);
        },
      ),
      { numRuns: 200, seed: 8 },
    );
  });

  it('of words leaves no small group, with the word or without it, in any group', () => {
    const holder = fc.tuple(fc.constantFrom('a', 'b', 'c', 'd', ''), fc.nat(1));
    fc.assert(
      fc.property(fc.array(holder, { minLength: 5, maxLength: 60 }), (drawn) => {
        const values = new Map<string, Set<string>>();
        const without = new Set<string>();
        const groupOf = new Map<string, number>();
        drawn.forEach(([word, group], i) => {
          groupOf.set(String(i), group);
          if (word === '') without.add(String(i));
          else values.set(word, (values.get(word) ?? new Set()).add(String(i)));
        });
        const shown = valuesShown({ values, groupOf, without }, 5);
        if (shown.size === 0) return;
        for (const group of [0, 1]) {
          const within = drawn.filter(([, own]) => own === group);
          const hidden = within.filter(([word]) => !shown.has(word)).length;
          const counts = [...shown].map((word) => within.filter(([own]) => own === word).length);
          for (const count of [hidden, ...counts])
            expect(count === 0 || count >= 5 || counts.every((one) => one === 0)).toBe(true);
        }
      }),
      { numRuns: 500, seed: 8 },
    );
  });

  it('hides a second word where one alone would be found by taking away (worked by hand)', () => {
    const holders = (from: number, count: number): Set<string> =>
      new Set(Array.from({ length: count }, (_, i) => String(from + i)));
    const values = new Map([
      ['a', holders(0, 20)],
      ['b', holders(20, 7)],
      ['c', holders(27, 2)],
    ]);
    const groupOf = new Map(Array.from({ length: 29 }, (_, i) => [String(i), 0]));
    // c is held by two; were it alone hidden, the two would be everybody without a word. With b hidden they are nine.
    expect([...valuesShown({ values, groupOf, without: new Set() }, 5)]).toEqual(['a']);
  });
});
