import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { clockOffset } from '../../../src/dataset/import/clock-offset.ts';
import { momentsOf } from '../../../src/dataset/import/swing-moments.ts';
import { checkMapping, type ImportOutcome, loadDataset, type Mapping } from '../../../src/dataset/index.ts';
import { inTempFolder } from '../roster.ts';
import { folderOf, imported, pictureOf, saidBy } from './importing.ts';

type Join = NonNullable<Mapping['join']>;

const text = (content: string) => new TextEncoder().encode(content);
const clock = (seconds: number) => new Date(seconds * 1000).toISOString().slice(11, 19);

interface Swing {
  readonly id: string;
  readonly golfer?: string;
  readonly date?: string;
  readonly time?: string;
}

/** A dataset with these swings of captures, an attack angle in each, in the order given. */
function captured(swings: readonly Swing[]): Record<string, string> {
  const all = swings.map((swing) => ({ golfer: 'G01', date: '2026-03-04', time: '', ...swing }));
  const sessions = new Map(all.map(({ golfer, date }) => [`${golfer}-${date}`, { golfer, date }]));
  const seen = new Map<string, number>();
  const rows = all.map(({ id, golfer, date, time }) => {
    const order = (seen.get(`${golfer}-${date}`) ?? 0) + 1;
    seen.set(`${golfer}-${date}`, order);
    return `${id},${golfer}-${date},${order},full,-3,${time}\n`;
  });
  return {
    'golfers.csv': `golfer_id,plays\n${[...new Set(all.map(({ golfer }) => golfer))].map((id) => `${id},right\n`).join('')}`,
    'sessions.csv': `session_id,golfer_id,date,phase\n${[...sessions].map(([id, { golfer, date }]) => `${id},${golfer},${date},baseline\n`).join('')}`,
    'swings.csv': `swing_id,session_id,order_in_session,task,attack_angle_deg,time_of_day\n${rows.join('')}`,
  };
}

interface Joined {
  readonly outcome: ImportOutcome;
  /** Which swing each line went to. */
  readonly pairs: readonly (readonly [number, string])[];
  readonly said: string;
}

/** Joins a launch monitor's sheet to captures; what it says where it is refused. */
async function joinedTo(
  swings: readonly Swing[],
  sheet: string,
  how: Join,
  change: (mapping: { golfers: unknown[] }) => void = () => undefined,
): Promise<Joined | string> {
  let result: Joined | string = '';
  await inTempFolder(async (root) => {
    const data = join(root, 'data');
    await folderOf(data, captured(swings));
    const before = await pictureOf(data);
    const answer = await imported(text(sheet), 'launch.csv', data, (mapping) => {
      mapping.join = structuredClone(how) as typeof mapping.join;
      for (const golfer of mapping.golfers) Object.assign(golfer, { status: 'known', plays: null });
      change(mapping);
      expect(checkMapping(JSON.parse(JSON.stringify(mapping)))).toMatchObject({ ok: true });
    });
    if (!answer.ok) {
      expect(await pictureOf(data)).toBe(before);
      result = saidBy(answer);
      return;
    }
    const { counts, leftOut } = answer.value;
    // Each row of the sheet is in exactly one place, and no swing has come or gone.
    expect(counts.rows).toBe(counts.joined + counts.alreadyThere + counts.leftOut);
    expect([counts.imported, leftOut.length]).toEqual([0, counts.leftOut]);
    const loaded = await loadDataset(data);
    if (!loaded.valid) throw new Error(JSON.stringify(loaded.problems));
    expect(loaded.value.tables.swings.length).toBe(swings.length);
    expect(loaded.problems.map(({ kind }) => kind)).not.toContain('unknown-column');
    const log = counts.joined === 0 ? '' : await readFile(join(data, 'import-log.jsonl'), 'utf8');
    const pairs = log
      .split('\n')
      .filter((line) => line.includes('"joined":"'))
      .map((line) => JSON.parse(line) as { line: number; joined: string })
      .map((one) => [one.line, one.joined] as const);
    // The number of the row stands beside the swing it was joined to.
    const speeds = loaded.value.tables.swings.numbers('ball_speed_mps');
    const ids = loaded.value.tables.swings.column('swing_id');
    for (const [line, id] of pairs) {
      const header = sheet.split('\n')[0]!.split(',').indexOf('ball speed (m/s)');
      expect(speeds[ids.indexOf(id)]).toBe(Number(sheet.split('\n')[line - 1]!.split(',')[header]));
    }
    expect(speeds.filter((speed) => !Number.isNaN(speed))).toHaveLength(pairs.length);
    result = { outcome: answer.value, pairs, said: saidBy(answer) };
  });
  return result;
}

async function joinedWell(...given: Parameters<typeof joinedTo>): Promise<Joined> {
  const result = await joinedTo(...given);
  if (typeof result === 'string') throw new Error(result);
  return result;
}

describe('a join by id', () => {
  const byId: Join = { by: 'swing_id' };
  const four = ['W1', 'W2', 'W3', 'W4'].map((id) => ({ id }));

  it('puts each row beside its swing, and lists what is left on both sides', async () => {
    const { pairs, outcome, said } = await joinedWell(
      four,
      'swing id,golfer,ball speed (m/s)\nW3,G01,50\nW1,G01,51\nW9,G01,52\n,G01,53\n',
      byId,
    );
    expect(pairs).toEqual([
      [2, 'W3'],
      [3, 'W1'],
    ]);
    expect(said).toContain("line 4: the dataset has no swing 'W9'");
    expect(said).toContain('line 5: it has no swing_id to be joined by');
    expect(outcome.unmatchedSwings).toEqual(['W2', 'W4']);
  });

  it('takes one row of two, and names the other', async () => {
    const { pairs, said } = await joinedWell(
      four,
      'swing id,golfer,ball speed (m/s)\nW1,G01,50\nW1,G01,51\nW1,G01,50\n',
      byId,
    );
    expect(pairs).toEqual([[2, 'W1']]);
    expect(said).toContain("line 3: line 2 has the swing 'W1' already");
    expect(said).toContain("line 4: line 2 has the swing 'W1' already");
  });

  it('never takes an id that differs in capitals, spaces, dashes or zeros, and names what it may mean', async () => {
    const { pairs, said } = await joinedWell(
      [{ id: 'W-01' }, { id: 'w1' }, { id: 'A7' }, { id: 'B8' }],
      'swing id,golfer,ball speed (m/s)\nW1,G01,50\nA07,G01,51\n B8 ,G01,52\n"A 7",G01,53\nA70,G01,54\n',
      byId,
    );
    // Spaces round a cell are no part of it.
    expect(pairs).toEqual([[4, 'B8']]);
    expect(said).toContain("line 2: the dataset has no swing 'W1'; it has 'W-01', 'w1'");
    expect(said).toContain("line 3: the dataset has no swing 'A07'; it has 'A7'");
    expect(said).toContain("line 5: the dataset has no swing 'A 7'; it has 'A7'");
    expect(said.split('\n').find((line) => line.startsWith('line 6'))).toBe(
      "line 6: the dataset has no swing 'A70'",
    );
  });

  it('leaves out a row of another golfer, and says of another day that the dataset keeps its own', async () => {
    const { pairs, outcome, said } = await joinedWell(
      [{ id: 'W1' }, { id: 'W2', golfer: 'G02' }],
      'swing id,golfer,date,ball speed (m/s)\nW2,G01,2026-03-04,50\nW1,G01,2026-03-05,51\n',
      byId,
    );
    expect(pairs).toEqual([[3, 'W1']]);
    expect(said).toContain("line 2: the swing 'W2' is of G02, and this row of G01");
    expect(outcome.kept).toEqual([{ line: 3, table: 'sessions', column: 'date', has: '2026-03-04' }]);
  });

  it('needs no golfer, day, phase or task in the sheet', async () => {
    const { pairs } = await joinedWell(
      four,
      'swing id,ball speed (m/s)\nW4,50.5\nW1,51.5\n',
      byId,
      (mapping) => {
        mapping.golfers = [];
      },
    );
    expect(pairs).toEqual([
      [2, 'W4'],
      [3, 'W1'],
    ]);
  });

  it('is refused where no column holds ids, for ids made up from the order would join anything', async () => {
    await inTempFolder(async (root) => {
      await folderOf(join(root, 'data'), captured([{ id: 'G01-2026-03-04-01' }]));
      const sheet = 'date,golfer,ball speed (m/s)\n2026-03-04,G01,50\n';
      await imported(text(sheet), 'launch.csv', join(root, 'data'), (mapping) => {
        mapping.join = { by: 'swing_id' };
        const checked = checkMapping(JSON.parse(JSON.stringify(mapping)));
        if (checked.ok) throw new Error('a join by ids that are not there should be refused');
        expect(checked.problems.map(({ where, found }) => `${where}: ${found}`)).toEqual([
          'mapping /join/by: swing_id, and no column of the sheet that becomes swings.swing_id',
        ]);
      });
    });
  });
});

/** Swings at uneven times, as people make them: seconds from the first. */
const PACE = [0, 31, 75, 90, 141, 168, 229, 247];
const at = (start: number, date = '2026-03-04', prefix = 'W'): Swing[] =>
  PACE.map((seconds, k) => ({ id: `${prefix}${k + 1}`, date, time: clock(start + seconds) }));
/** The sheet of a launch monitor whose clock shows `ahead` seconds more, with its own small delays. */
function sheetOf(start: number, ahead: number, date = '2026-03-04', skip: readonly number[] = []): string {
  return PACE.flatMap((seconds, k) =>
    skip.includes(k)
      ? []
      : [`${date},${clock(start + seconds + ahead + (k % 3) - 1)},G01,${50 + k / 10 + start / 1e6}\n`],
  ).join('');
}
const HEAD = 'date,time,golfer,ball speed (m/s)\n';
const TEN = 36_000;
const byTime: Join = { by: 'time' };

describe('a join by time', () => {
  it('goes on where the clocks agree, says so, and lists what is left on both sides', async () => {
    const { pairs, outcome, said } = await joinedWell(
      at(TEN),
      `${HEAD}${sheetOf(TEN, 0, '2026-03-04', [2, 5])}2026-03-04,10:30:00,G01,44\n2026-03-04,,G01,45\n2026-03-05,10:00:00,G01,46\n`,
      byTime,
    );
    expect(pairs.map(([, id]) => id)).toEqual(['W1', 'W2', 'W4', 'W5', 'W7', 'W8']);
    expect(outcome.clock).toEqual({
      offsets: [{ from: null, offset_s: 0 }],
      why: expect.stringContaining('the clocks agree: as they are, 6 of 8 rows find a swing'),
    });
    expect(said).toContain('line 8: no swing of the dataset is within 5 s of it; W8 is nearest, 1553 s away');
    expect(said).toContain('line 9: it has no time of day to be joined by');
    expect(said).toContain('line 10: ');
    expect(outcome.unmatchedSwings).toEqual(['W3', 'W6']);
  });

  it.each([25, -25, 3600, -7200, 17])(
    'asks where a clock is %i s ahead, and tells what fits',
    async (ahead) => {
      const said = await joinedTo(at(TEN), HEAD + sheetOf(TEN, ahead), byTime);
      expect(said).toContain('mapping /join/offset_s');
      const told = /with (-?[\d.]+) s added (\d+) of 8 rows/.exec(String(said));
      expect(Math.abs(Number(told?.[1]) + ahead)).toBeLessThanOrEqual(1);
      expect(told?.[2]).toBe('8');
      const { pairs } = await joinedWell(at(TEN), HEAD + sheetOf(TEN, ahead), {
        by: 'time',
        offset_s: -ahead,
      });
      expect(pairs.map(([line, id]) => `${line} ${id}`)).toEqual(PACE.map((_, k) => `${k + 2} W${k + 1}`));
    },
  );

  it('asks where swings come so evenly that they fit in several ways, or are too few to tell', async () => {
    const even = PACE.map((_, k) => ({ id: `W${k + 1}`, time: clock(TEN + 20 * k) }));
    const sheet = PACE.map((_, k) => `2026-03-04,${clock(TEN + 20 * k)},G01,5${k}\n`).join('');
    expect(await joinedTo(even, HEAD + sheet, byTime)).toContain('times that fit in several ways');
    expect(await joinedTo(even.slice(0, 2), HEAD + sheet, byTime)).toContain(
      'nothing that tells whether both clocks agree',
    );
    const { pairs } = await joinedWell(even, HEAD + sheet, { by: 'time', offset_s: 0 });
    expect(pairs).toHaveLength(8);
  });

  it('gives one swing to one row: the other that is as near is named', async () => {
    const { pairs, said } = await joinedWell(
      at(TEN),
      `${HEAD}2026-03-04,10:00:01,G01,50\n2026-03-04,10:00:03,G01,51\n`,
      { by: 'time', offset_s: 0 },
    );
    expect(pairs).toEqual([[2, 'W1']]);
    expect(said).toContain('line 3: the swing W1, 3 s from it, went to line 2');
  });

  it('never crosses golfers', async () => {
    const swings = [...at(TEN), { id: 'X1', golfer: 'G02', time: '10:00:00' }];
    const { pairs, said } = await joinedWell(swings, `${HEAD}2026-03-04,10:00:31,G02,50\n`, {
      by: 'time',
      offset_s: 0,
    });
    expect(pairs).toEqual([]);
    expect(said).toContain('X1 is nearest, 31 s away');
  });

  it('goes on past midnight, whichever day either device writes', async () => {
    const late = 86_400 - 100;
    const night = PACE.map((seconds, k) => ({ id: `W${k + 1}`, time: clock((late + seconds) % 86_400) }));
    const rows = (dated: boolean) =>
      PACE.map((seconds, k) => {
        const day = dated && late + seconds >= 86_400 ? '2026-03-05' : '2026-03-04';
        return `${day},${clock((late + seconds) % 86_400)},G01,5${k}\n`;
      }).join('');
    for (const dated of [true, false]) {
      const { pairs } = await joinedWell(night, HEAD + rows(dated), byTime);
      expect(pairs.map(([, id]) => id)).toEqual(night.map(({ id }) => id));
    }
  });

  it('carries a moment over midnight that the clock of the other device puts there', async () => {
    const { pairs } = await joinedWell(at(300), HEAD + sheetOf(86_400 - 3300, 0, '2026-03-03'), {
      by: 'time',
      offset_s: 3600,
    });
    expect(pairs).toHaveLength(8);
  });

  it('asks where one clock was put forward for the summer, day by day, and takes the answer so', async () => {
    const days = ['2026-03-28', '2026-03-29', '2026-03-30'];
    const swings = days.flatMap((date, d) => at(TEN + 777 * d, date, `D${d}-`));
    const sheet = HEAD + days.map((date, d) => sheetOf(TEN + 777 * d, d === 0 ? 0 : 3600, date)).join('');
    expect(await joinedTo(swings, sheet, byTime)).toContain(
      'the clocks differ by day: 2026-03-28 0 s, 2026-03-29 to 2026-03-30 -3600 s',
    );
    const { pairs, outcome } = await joinedWell(swings, sheet, {
      by: 'time',
      offset_s: [{ from: '2026-03-29', offset_s: -3600 }],
    });
    expect(pairs.map(([, id]) => id)).toEqual(swings.map(({ id }) => id));
    expect(outcome.unmatchedSwings).toEqual([]);
  });

  it('lists the swings of a day on which nothing was found', async () => {
    const { pairs, outcome } = await joinedWell(at(TEN), HEAD + sheetOf(TEN + 40_000, 0), {
      by: 'time',
      offset_s: 0,
    });
    expect([pairs.length, outcome.unmatchedSwings.length]).toEqual([0, 8]);
  });

  it('takes a day of thousands of swings', async () => {
    const many = Array.from({ length: 5000 }, (_, k) => ({ id: `W${k}`, time: clock(20_000 + 11 * k) }));
    const sheet = many.map(({ time }, k) => `2026-03-04,${time},G01,${30 + (k % 300) / 10}\n`).join('');
    const { pairs } = await joinedWell(many, HEAD + sheet, { by: 'time', offset_s: 0 });
    expect(pairs).toHaveLength(5000);
  });
});

describe('clockOffset', () => {
  it('finds the difference that was planted, with missing swings on both sides', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 12, max: 90 }), { minLength: 14, maxLength: 40 }),
        fc.integer({ min: -40_000, max: 40_000 }),
        fc.integer({ min: 0, max: 3 }),
        (pauses, planted, missing) => {
          let now = 0;
          const moments = pauses.map((pause) => {
            now += pause;
            return now;
          });
          // Pauses that repeat themselves are rightly left open.
          fc.pre(new Set(pauses).size > 0.8 * pauses.length);
          const sheet = moments
            .filter((_, k) => k >= missing)
            .map((moment, k) => moment - planted + (k % 3) / 2);
          const told = clockOffset([{ sheet, there: moments.slice(0, moments.length - missing) }], 3);
          if (told.is !== 'found') return;
          expect(Math.abs(told.best.offset_s - planted)).toBeLessThanOrEqual(3);
        },
      ),
      { seed: 8, numRuns: 300 },
    );
  });
});

describe('momentsOf', () => {
  const apart = (...times: string[]) => {
    const moments = momentsOf(times.map((time) => ({ date: '2026-03-04', time })));
    return [...moments].map((moment) => moment - moments[0]!);
  };

  it('counts on past one midnight, and takes no other fall for one', () => {
    expect(apart('23:59:50', '00:00:20', '00:10:00')).toEqual([0, 30, 610]);
    expect(apart('20:00:00', '07:00:00')).toEqual([0, -46_800]);
    expect(apart('23:59:50', '00:00:20', '23:59:55')).toEqual([0, 30 - 86_400, 5]);
    expect(momentsOf([{ date: 'soon', time: '10:00:00' }])[0]).toBeNaN();
  });
});
