import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { loadDataset, proposeMapping } from '../../../src/dataset/index.ts';
import { inTempFolder } from '../roster.ts';
import { CASES } from './broken/cases.ts';
import { FILES } from './broken/files.ts';
import { folderOf, imported, pictureOf, saidBy } from './importing.ts';

const FOLDER = join(import.meta.dirname, 'broken');
/** A dataset that stands already; none of its golfers and swings is in a broken file. */
const BEFORE = {
  'golfers.csv': 'golfer_id,plays\nK01,left\n',
  'sessions.csv': 'session_id,golfer_id,date,phase\nK1,K01,2025-01-02,baseline\n',
  'swings.csv': 'swing_id,session_id,order_in_session,task,club_speed_mps\nKW1,K1,1,full,40.5\n',
};

it('keeps at least 60 broken spreadsheets, as their script makes them, each with what must be said', () => {
  const kept = readdirSync(FOLDER).filter((name) => !name.endsWith('.ts'));
  expect(kept.length).toBeGreaterThanOrEqual(60);
  expect(kept.sort()).toEqual(Object.keys(FILES).sort());
  expect(CASES.map(({ file }) => file).sort()).toEqual(kept);
  // Bytes that deflate made may differ with its version; what is unpacked is tested below.
  const packed = new Set(['bomb.xlsx', 'lies-about-size.xlsx']);
  for (const name of kept)
    if (!packed.has(name))
      expect(Buffer.from(FILES[name]!).equals(readFileSync(join(FOLDER, name))), name).toBe(true);
});

describe('a broken spreadsheet', () => {
  it.each(CASES)('$file', async ({ file, says, outcome, answer }) => {
    await inTempFolder(async (root) => {
      const path = join(FOLDER, file);
      const original = readFileSync(path);
      const data = join(root, 'data');
      await folderOf(data, BEFORE);
      const before = await pictureOf(data);
      const result = await imported(original, file, data, answer);
      const said = saidBy(result);
      for (const words of says) expect(said).toContain(words);
      expect(readFileSync(path).equals(original)).toBe(true);
      expect(readdirSync(root)).toEqual(['data']);
      if (outcome === 'refused') {
        expect(result.ok).toBe(false);
        expect(await pictureOf(data)).toBe(before);
        return;
      }
      if (!result.ok) throw new Error(said);
      const { counts, leftOut } = result.value;
      expect(counts).toEqual({ ...outcome, joined: 0, alreadyThere: 0 });
      expect(counts.rows).toBe(counts.imported + counts.leftOut);
      expect(leftOut).toHaveLength(counts.leftOut);
      const loaded = await loadDataset(data);
      if (!loaded.valid) throw new Error(JSON.stringify(loaded.problems));
      // What was there is there, and what came in is what was counted.
      expect(loaded.value.tables.swings.length).toBe(1 + counts.imported);
      expect(readFileSync(join(data, 'swings.csv'), 'utf8')).toContain('KW1,K1,1,full');
      const kept = readdirSync(join(data, 'originals')).find((name) => !name.includes('mapping'))!;
      expect(readFileSync(join(data, 'originals', kept)).equals(original)).toBe(true);
    });
  });
});

describe('what is noticed and changes no row', () => {
  const reasonsOf = (file: string) => {
    const proposal = proposeMapping(readFileSync(join(FOLDER, file)), file);
    if (!proposal.ok) throw new Error(JSON.stringify(proposal.problems));
    return proposal.mapping;
  };

  it('says that a file is no UTF-8 and how it was read', () => {
    const { reading, golfers } = reasonsOf('windows-1252.csv');
    expect(reading.reasons.join()).toContain('not valid UTF-8, so it was read as Windows-1252');
    expect(golfers[0]?.written).toEqual(['J\u00F6rg']);
  });

  // Index windows-1252 of the Encoding Standard: 0x8A is U+0160, 0x92 is U+2019.
  it('reads the bytes 0x80 to 0x9F of Windows-1252 as the letters they stand for', () => {
    const bytes = Buffer.from(
      'date,golfer,plays,shaft lean at impact (deg)\n2026-03-04,\x8aima d\x92A,right,4.2\n',
      'latin1',
    );
    const proposal = proposeMapping(bytes, 'names.csv');
    if (!proposal.ok) throw new Error(JSON.stringify(proposal.problems));
    expect(proposal.mapping.golfers[0]?.written).toEqual(['\u0160ima d\u2019A']);
  });

  it('leaves columns with names of the machine in the original', () => {
    expect(
      reasonsOf('machine-names.csv')
        .columns.slice(0, 2)
        .map(({ to }) => to),
    ).toEqual([null, null]);
  });
});
