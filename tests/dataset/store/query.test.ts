import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { packDataset, queryDataset } from '../../../src/dataset/index.ts';
import { inTempFolder, ROSTER } from '../roster.ts';
import { writeFiles } from './folders.ts';

async function inBoth(work: (folder: string) => Promise<void>): Promise<void> {
  await inTempFolder(async (folder) => {
    await writeFiles(join(folder, 'csv'), {
      ...ROSTER,
      'golfers.csv': 'golfer_id,plays\nG01,right\nG02,left\n',
    });
    const packed = await packDataset(join(folder, 'csv'), join(folder, 'packed'));
    expect(packed.problems).toEqual([]);
    await work(join(folder, 'csv'));
    await work(join(folder, 'packed'));
  });
}

const answer = async (folder: string, sql: string) => {
  const asked = await queryDataset(folder, sql);
  if (!asked.valid) throw new Error(JSON.stringify(asked.problems));
  return asked.value;
};

describe('queryDataset', () => {
  it('gives the same typed columns from CSV and from Parquet', async () => {
    await inBoth(async (folder) => {
      expect(
        await answer(
          folder,
          'SELECT swing_id, order_in_session, shaft_lean_impact_deg, ground_first FROM swings ORDER BY swing_id',
        ),
      ).toEqual({
        rows: 4,
        columns: {
          swing_id: ['W1', 'W2', 'W3', 'W4'],
          order_in_session: Float64Array.of(1, 2, 1, 1),
          shaft_lean_impact_deg: Float64Array.of(2.5, Number.NaN, 6.25, -1.5),
          ground_first: [true, false, false, null],
        },
      });
      expect(
        await answer(
          folder,
          `SELECT date, count(*) AS swings, avg(club_speed_mps) AS speed FROM swings JOIN sessions USING (session_id)
           WHERE date < DATE '2026-04-01' GROUP BY date ORDER BY date`,
        ),
      ).toEqual({
        rows: 2,
        columns: {
          date: ['2026-03-04', '2026-03-05'],
          swings: Float64Array.of(2, 1),
          speed: Float64Array.of((36.4 + 36.1) / 2, 40.2),
        },
      });
    });
  });

  it('reads and writes nothing but the tables', async () => {
    await inBoth(async (folder) => {
      for (const sql of [
        "SELECT * FROM read_csv('/etc/passwd')",
        "SELECT * FROM read_text('/etc/hostname')",
        `COPY swings TO '${join(folder, 'stolen.csv')}'`,
        `ATTACH '${join(folder, 'new.db')}' AS other`,
        "SELECT * FROM 'https://example.org/x.parquet'",
        'INSTALL httpfs',
        "SET enable_external_access = true; SELECT * FROM read_text('/etc/hostname')",
      ])
        await expect(queryDataset(folder, sql), sql).rejects.toThrow(/^queryDataset: /);
    });
  });

  it('says what is wrong with a question, and refuses what it cannot answer exactly', async () => {
    await inBoth(async (folder) => {
      await expect(queryDataset(folder, 'SELECT clib FROM swings')).rejects.toThrow(/queryDataset: .*clib/);
      await expect(queryDataset(folder, 'SELECT task, task FROM swings')).rejects.toThrow(/named task/);
      await expect(queryDataset(folder, 'SELECT 9007199254740993 AS n')).rejects.toThrow(/exactly/);
    });
  });
});
