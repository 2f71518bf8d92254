import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { loadDataset, packDataset, unpackDataset } from '../../../src/dataset/index.ts';
import { inTempFolder, ROSTER } from '../roster.ts';
import { writeFiles } from './folders.ts';

it('keeps the sign of every zero of a column that an engine would look up by value', async () => {
  await inTempFolder(async (folder) => {
    const at = (name: string) => join(folder, name);
    const cells = Array.from({ length: 5000 }, (_, k) => (k % 3 === 0 ? '-0' : k % 7 === 0 ? '1.5' : '0'));
    const rows = cells.map((cell, k) => `X${k},S1,${k + 1},drill,${cell}\n`).join('');
    await writeFiles(at('csv'), {
      ...ROSTER,
      'swings.csv': `swing_id,session_id,order_in_session,task,attack_angle_deg\n${rows}`,
    });
    const packed = await packDataset(at('csv'), at('packed'));
    expect(
      packed.valid && packed.value.tables.flatMap(({ respelled, asText }) => [...respelled, ...asText]),
    ).toEqual([]);
    const loaded = await loadDataset(at('packed'));
    if (!loaded.valid) throw new Error(JSON.stringify(loaded.problems));
    const values = loaded.value.tables.swings.numbers('attack_angle_deg');
    expect(Array.from(values, (value) => (Object.is(value, -0) ? '-0' : String(value)))).toEqual(cells);
    await unpackDataset(at('packed'), at('again'));
    expect(await readFile(at('again/swings.csv'), 'utf8')).toBe(await readFile(at('csv/swings.csv'), 'utf8'));
  });
});
