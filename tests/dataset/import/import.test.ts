import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { timeOfDay, writtenDate, writtenNumber } from '../../../src/dataset/import/cell-values.ts';
import { convertUnit } from '../../../src/dataset/import/units.ts';
import { checkMapping, importFile, joinByTime, proposeMapping } from '../../../src/dataset/index.ts';
import { inTempFolder } from '../roster.ts';
import { answered, folderOf, imported, pictureOf, saidBy } from './importing.ts';

const text = (content: string) => new TextEncoder().encode(content);
const linesOf = async (folder: string, file: string) =>
  (await readFile(join(folder, file), 'utf8')).trimEnd().split('\n');

/** Two-line header, units, decimal comma, a left-hander, two devices' worth of habits. */
const LESSON =
  'Spring lessons;;;;;;;\n' +
  ';;;Speed;;Angle;Right elbow;\n' +
  'Date;Pupil;Hand;Club;Ball;Attack;impact;Low point\n' +
  ';;;mph;km/h;deg;deg;inches\n' +
  '04.03.2026;Ann Berg;R;78,5;172,8;-3,1;150,5;2\n' +
  '04.03.2026;Ann Berg;R;79,1;n/a;-2,9;149;3\n' +
  '25.03.2026;Tom Ek;L;90;200,5;-4;160;4\n' +
  '25.03.2026;Tom Ek;L;91;;-4,1;161;2,5\n';

describe('proposeMapping', () => {
  const proposal = proposeMapping(text(LESSON), 'lesson.csv');
  if (!proposal.ok) throw new Error(JSON.stringify(proposal.problems));
  const { mapping, questions } = proposal;

  it('finds how the sheet is read, each with a reason', () => {
    expect(mapping.reading).toMatchObject({
      delimiter: ';',
      decimal: ',',
      header_lines: [2, 3],
      unit_line: 4,
      first_line: 5,
      date_order: 'day-first',
    });
    expect(mapping.columns.every(({ reason }) => reason !== '')).toBe(true);
  });

  it('finds the columns, their units and conventions', () => {
    expect(mapping.columns.map(({ to, unit, convention, side }) => [to, unit, convention, side])).toEqual([
      ['sessions.date', undefined, undefined, undefined],
      ['golfers.golfer_id', undefined, undefined, undefined],
      ['golfers.plays', undefined, undefined, undefined],
      ['swings.club_speed_mps', 'mph', 'as-is', undefined],
      ['swings.ball_speed_mps', 'km/h', 'as-is', undefined],
      ['swings.attack_angle_deg', 'deg', 'as-is', undefined],
      ['swings.trail_elbow_flexion_impact_deg', 'deg', 'included-angle', 'right'],
      ['swings.low_point_cm', 'in', 'as-is', undefined],
    ]);
  });

  it('gives codes in place of names, and asks what the sheet does not say', () => {
    expect(mapping.golfers.map(({ golfer_id, written, plays }) => [golfer_id, written, plays])).toEqual([
      ['G01', ['Ann Berg'], null],
      ['G02', ['Tom Ek'], null],
    ]);
    expect(questions.map(({ where }) => where)).toEqual(['mapping /sessions/phase', 'mapping /task']);
  });

  it('is a mapping by its own schema, and the same whenever it is made', () => {
    expect(checkMapping(JSON.parse(JSON.stringify(mapping)))).toEqual({ ok: true, mapping });
    expect(proposeMapping(text(LESSON), 'lesson.csv')).toEqual(proposal);
  });
});

describe('importFile', () => {
  it('converts, mirrors and builds sessions, and changes nothing the second time', async () => {
    await inTempFolder(async (root) => {
      const data = join(root, 'data');
      const result = await imported(text(LESSON), 'lesson.csv', data);
      if (!result.ok) throw new Error(saidBy(result));
      expect(result.value.counts).toEqual({ rows: 4, imported: 4, joined: 0, alreadyThere: 0, leftOut: 0 });
      // 180 - 150.5 and 180 - 149; the right arm of a left-hander leads. 1 in = 2.54 cm (1959).
      expect(await linesOf(data, 'swings.csv')).toEqual([
        'swing_id,session_id,order_in_session,task,trail_elbow_flexion_impact_deg,club_speed_mps,attack_angle_deg,low_point_cm,ball_speed_mps',
        'G01-2026-03-04-01,G01-2026-03-04,1,full,29.5,35.09264,-3.1,5.08,48',
        'G01-2026-03-04-02,G01-2026-03-04,2,full,31,35.360864,-2.9,7.62,',
        'G02-2026-03-25-01,G02-2026-03-25,1,full,,40.2336,-4,10.16,55.6944444444444',
        'G02-2026-03-25-02,G02-2026-03-25,2,full,,40.68064,-4.1,6.35,',
      ]);
      const before = await pictureOf(data);
      const again = await imported(text(LESSON), 'lesson.csv', data);
      if (!again.ok) throw new Error(saidBy(again));
      expect(again.value.changed).toBe(false);
      expect(again.value.why).toContain('imported with the same mapping before (import 1)');
      expect(await pictureOf(data)).toBe(before);
    });
  });

  it('writes names into the original and the mapping only', async () => {
    await inTempFolder(async (root) => {
      const data = join(root, 'data');
      await imported(text(LESSON), 'lesson.csv', data);
      for (const name of (await readdir(data)).filter((file) => file !== 'originals'))
        expect(await readFile(join(data, name), 'utf8')).not.toMatch(/Berg|Tom/);
    });
  });

  it('takes what is new of a sheet that has grown, keeps every character that was there', async () => {
    await inTempFolder(async (root) => {
      const data = join(root, 'data');
      const header = 'swing id,date,golfer,plays,club speed (mph)\n';
      await folderOf(data, {
        'golfers.csv': 'golfer_id,plays,height_cm\nG09,left,178.50\n',
        'notes.txt': 'mine',
        'datapackage.json': '{"title": "Mine", "resources": [{"name": "notes", "path": "notes.txt"}]}',
      });
      const first = `${header}W1,2026-03-04,G01,right,80\nW2,2026-03-04,G01,right,81\n`;
      await imported(text(first), 'a.csv', data);
      const grown = await imported(
        text(`${first}W3,2026-03-04,G01,right,82\nW1,2026-03-04,G01,right,99\n`),
        'a.csv',
        data,
        (mapping) => {
          mapping.golfers[0]!.status = 'known';
          mapping.golfers[0]!.plays = null;
        },
      );
      if (!grown.ok) throw new Error(saidBy(grown));
      expect(grown.value.counts).toEqual({ rows: 4, imported: 1, joined: 0, alreadyThere: 2, leftOut: 1 });
      expect(saidBy(grown)).toContain(
        "line 5: W1 stands in the dataset with club_speed_mps '35.7632', and here with '44.25696'",
      );
      expect(await linesOf(data, 'golfers.csv')).toEqual([
        'golfer_id,plays,height_cm',
        'G09,left,178.50',
        'G01,right,',
      ]);
      expect((await linesOf(data, 'swings.csv')).at(-1)).toBe('W3,G01-2026-03-04,3,full,36.65728');
      expect(await readFile(join(data, 'notes.txt'), 'utf8')).toBe('mine');
      const descriptor = JSON.parse(await readFile(join(data, 'datapackage.json'), 'utf8'));
      expect([descriptor.title, descriptor.resources.at(-1).name]).toEqual(['Mine', 'notes']);
    });
  });

  it('refuses another golfer under a code that is taken, a changed file, and columns that are not those of the mapping', async () => {
    await inTempFolder(async (root) => {
      const data = join(root, 'data');
      const sheet = 'date,golfer,plays,club speed (mph)\n2026-03-04,G01,right,80\n';
      await folderOf(data, { 'golfers.csv': 'golfer_id,plays\nG01,right\n' });
      const before = await pictureOf(data);
      expect(saidBy(await imported(text(sheet), 'a.csv', data))).toContain(
        'G01, which the dataset has already',
      );
      const proposal = proposeMapping(text(sheet), 'a.csv', new Set(['G01']));
      if (!proposal.ok) throw new Error('no proposal');
      const mapping = answered(proposal.mapping);
      const changed = text(sheet.replace('80', '81'));
      expect(saidBy(await importFile({ mapping, source: changed, data }))).toContain(
        'not the one the mapping was proposed for',
      );
      const other = text(sheet.replace('club speed', 'ball speed'));
      expect(saidBy(await importFile({ mapping, source: other, otherFile: true, data }))).toContain(
        "'ball speed (mph)' in column 4",
      );
      expect(await pictureOf(data)).toBe(before);
      expect((await importFile({ mapping, source: changed, otherFile: true, data })).ok).toBe(true);
    });
  });

  it('writes beside the dataset when told to, and leaves the dataset as it is', async () => {
    await inTempFolder(async (root) => {
      const [data, out] = [join(root, 'data'), join(root, 'out')];
      await folderOf(data, { 'golfers.csv': 'golfer_id,plays\nG09,left\n' });
      const before = await pictureOf(data);
      const proposal = proposeMapping(text(LESSON), 'lesson.csv');
      if (!proposal.ok) throw new Error('no proposal');
      const mapping = answered(proposal.mapping);
      const result = await importFile({ mapping, source: text(LESSON), data, out });
      expect(result.ok).toBe(true);
      expect(await pictureOf(data)).toBe(before);
      expect(await linesOf(out, 'golfers.csv')).toHaveLength(4);
    });
  });

  it('joins another device by time of day, lists what is unmatched on both sides, overwrites nothing', async () => {
    await inTempFolder(async (root) => {
      const data = join(root, 'data');
      const capture =
        'swing id,date,time,golfer,plays,attack angle (deg)\n' +
        'W1,2026-03-04,10:00:00,G01,right,-3\nW2,2026-03-04,10:00:40,G01,right,-4\nW3,2026-03-04,10:01:30,G01,right,-5\n';
      await imported(text(capture), 'capture.csv', data);
      const launch =
        'date,time,golfer,ball speed (mph),attack angle (deg)\n' +
        '2026-03-04,10:00:02,G01,110,-3\n2026-03-04,10:00:37,G01,112,-4.5\n2026-03-04,10:05:00,G01,111,-4\n2026-03-04,,G01,109,-4\n';
      const joined = await imported(text(launch), 'launch.csv', data, (mapping) => {
        mapping.join = { by: 'time', tolerance_s: 5, offset_s: 0 };
        mapping.golfers[0]!.status = 'known';
        mapping.golfers[0]!.plays = null;
      });
      if (!joined.ok) throw new Error(saidBy(joined));
      expect(joined.value.counts).toEqual({ rows: 4, imported: 0, joined: 2, alreadyThere: 0, leftOut: 2 });
      expect(joined.value.unmatchedSwings).toEqual(['W3']);
      expect(joined.value.kept).toEqual([
        { line: 3, table: 'swings', column: 'attack_angle_deg', has: '-4' },
      ]);
      expect(saidBy(joined)).toContain('line 4: no swing of the dataset is within 5 s of it');
      expect((await linesOf(data, 'swings.csv')).slice(0, 3)).toEqual([
        'swing_id,session_id,order_in_session,task,attack_angle_deg,ball_speed_mps,time_of_day',
        'W1,G01-2026-03-04,1,full,-3,49.1744,10:00:00',
        'W2,G01-2026-03-04,2,full,-4,50.06848,10:00:40',
      ]);
    });
  });
});

describe('joinByTime', () => {
  it('pairs as many as any way of pairing in order does, with the least differences', () => {
    const times = fc.array(fc.integer({ min: 0, max: 30 }), { maxLength: 6 });
    fc.assert(
      fc.property(times, times, fc.integer({ min: 0, max: 8 }), (left, right, tolerance) => {
        const pairs = joinByTime(left, right, tolerance);
        const apart = pairs.map((pair) => Math.abs(left[pair.left]! - right[pair.right]!));
        expect(apart.every((gap) => gap <= tolerance)).toBe(true);
        expect(new Set(pairs.map((pair) => pair.left)).size).toBe(pairs.length);
        for (const a of pairs)
          for (const b of pairs)
            if (left[a.left]! < left[b.left]!) expect(right[a.right]!).toBeLessThanOrEqual(right[b.right]!);
        const best = bestOf(
          [...left].sort((a, b) => a - b),
          [...right].sort((a, b) => a - b),
          tolerance,
        );
        expect([pairs.length, apart.reduce((sum, gap) => sum + gap, 0)]).toEqual(best);
      }),
      { seed: 8, numRuns: 300 },
    );
  });

  /** Every way of pairing in order, tried one by one. */
  function bestOf(left: readonly number[], right: readonly number[], tolerance: number): [number, number] {
    if (left.length === 0 || right.length === 0) return [0, 0];
    const [a, ...rest] = left as [number, ...number[]];
    let best = bestOf(rest, right, tolerance);
    right.forEach((b, index) => {
      if (Math.abs(a - b) > tolerance) return;
      const [count, sum] = bestOf(rest, right.slice(index + 1), tolerance);
      if (count + 1 > best[0] || (count + 1 === best[0] && sum + Math.abs(a - b) < best[1]))
        best = [count + 1, sum + Math.abs(a - b)];
    });
    return best;
  }
});

describe('what a cell says', () => {
  // NIST Special Publication 811 (2008), appendix B.8: exact factors.
  it.each([
    [100, 'mph', 'm/s', 44.704],
    [1, 'km/h', 'm/s', 0.277777777777778],
    [1, 'in', 'cm', 2.54],
    [1, 'in', 'mm', 25.4],
    [1, 'ft', 'cm', 30.48],
    [150, 'yd', 'm', 137.16],
    [Math.PI, 'rad', 'deg', 180],
    [0.25, 's', 'ms', 250],
  ])('%f %s is as many %s', (value, from, to, expected) => {
    expect(convertUnit(value, from, to)).toBe(expected);
  });

  it.each([
    ['12,5', ',', { value: 12.5, unit: null }],
    ['\u22123.1\u00B0', '.', { value: -3.1, unit: 'deg' }],
    ['98 mph', '.', { value: 98, unit: 'mph' }],
    ['1,234.5', '.', null],
    ['1.234', ',', null],
    ['12 apples', '.', null],
    ['0x10', '.', null],
    ['', '.', null],
  ] as const)('%s with the mark %s', (written, mark, number) => {
    expect(writtenNumber(written, mark)).toEqual(number);
  });

  it.each([
    ['04.03.2026', 'day-first', '2026-03-04'],
    ['03/04/2026', 'month-first', '2026-03-04'],
    ['2026/3/4', 'day-first', '2026-03-04'],
    ['4 Mar 2026', 'year-first', '2026-03-04'],
    ['March 4th, 2026', 'year-first', '2026-03-04'],
    ['29.02.2026', 'day-first', null],
    ['04.03.2026', 'year-first', null],
    ['soon', 'day-first', null],
  ] as const)('%s, read %s', (written, order, date) => {
    expect(writtenDate(written, order, null)?.date ?? null).toBe(date);
  });

  // POSIX.1-2017, strptime, %y: 69 to 99 are 1969 to 1999, and 00 to 68 are 2000 to 2068.
  it.each([
    ['04.03.69', 'day-first', 1969, '1969-03-04'],
    ['04.03.99', 'day-first', 1969, '1999-03-04'],
    ['04.03.00', 'day-first', 1969, '2000-03-04'],
    ['03/04/68', 'month-first', 1969, '2068-03-04'],
    ['98-3-4', 'year-first', 1969, '1998-03-04'],
    ['4-Mar-98', 'year-first', 2000, '2098-03-04'],
    ['Mar 4, 98', 'year-first', 1930, '1998-03-04'],
    ['29.02.00', 'day-first', 1930, '2000-02-29'],
    ['29.02.00', 'day-first', 1900, null],
    ['04.03.98', 'day-first', null, null],
    ['4-Mar-98', 'day-first', null, null],
    ['4.3.998', 'day-first', 1930, null],
    ['4 Marker 98', 'day-first', 1930, null],
  ] as const)('%s, read %s, in the hundred years from %s', (written, order, century, date) => {
    expect(writtenDate(written, order, century)?.date ?? null).toBe(date);
  });

  it('takes the hundred years from the mapping, whatever today is', async () => {
    await inTempFolder(async (root) => {
      const sheet =
        'date,golfer,plays,consent date,club speed (mph)\n2026-03-04,G01,right,04-Mar-98,80\n2026-03-04,G02,left,04-Mar-29,81\n';
      for (const [first, dates] of [
        [1930, ['1998-03-04', '2029-03-04']],
        [2000, ['2098-03-04', '2029-03-04']],
      ] as const) {
        const data = join(root, String(first));
        const result = await imported(text(sheet), 'a.csv', data, (mapping) => {
          mapping.reading.two_figure_years = first;
        });
        if (!result.ok) throw new Error(saidBy(result));
        expect((await linesOf(data, 'golfers.csv')).slice(1).map((line) => line.split(',').at(-1))).toEqual(
          dates,
        );
      }
    });
  });

  it('knows a time of day, and what is none', () => {
    expect(['2:05 pm', '12:00 am', '23:59:59.25', '24:00', '1:60', '13:00 pm'].map(timeOfDay)).toEqual([
      '14:05:00',
      '00:00:00',
      '23:59:59.25',
      null,
      null,
      null,
    ]);
  });
});
