import { mkdir, writeFile } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { fullFolder, writeFiles } from '../dataset/privacy/full-folder.ts';
import { GONE, importedFolder } from '../dataset/privacy/imported-folder.ts';
import { newFolder, snapshot, type } from './harness.ts';

async function full(): Promise<string> {
  const data = await newFolder();
  await writeFiles(data, fullFolder());
  return data;
}

/** A lock as another machine writes it, which nobody here can ask whether it still runs. */
async function lockedElsewhere(data: string): Promise<void> {
  const lock = join(dirname(data), `.${basename(data)}.lock`);
  await writeFile(lock, JSON.stringify({ pid: 1, started: '1', host: 'another machine', key: 'x' }));
}

describe('erase', () => {
  it('says what it took out, what it looked through, what went whole, and what it does not reach', async () => {
    const data = await full();
    const { exit, out, err } = await type('erase', 'G1', '--data', data);
    expect(exit).toBe(0);
    expect(out.replaceAll(data, 'DATA')).toMatchInlineSnapshot(`
      "The golfer is erased from DATA.
      Taken out: 2 from captures.csv, 2 from curves.csv, 1 from golfers.csv, 2 from import-log.jsonl, 1 from notes.md, 1 from originals/day.csv, 1 from originals/wide.csv, 2 from plan.json, 1 from practice.csv, 2 from sessions.csv, 2 from swings.csv; captures: 2; mentions in what belongs to others: 3.
      Proof: 18 files (6 kB) were looked through, with what is packed in them; the golfer was found in 0.
      That a golfer was erased, and not who, is noted in erasures.csv.
      "
    `);
    expect(err.replaceAll(data, 'DATA')).toMatchInlineSnapshot(`
      "These files held the golfer and cannot be cut, so they are gone whole; reports can be made again:
        empty/G1/nothing.txt
        originals/nested.zip
        originals/old.csv.gz
        originals/sheet.xlsx
        report/finding.json
        report/index.html
        video/G1.mp4
      These files are packed in a way that cannot be looked into here; look at them yourself:
        documents/letter.pdf
      Not reached: a name in a spelling that no mapping has, a nickname, what a picture shows; copies elsewhere (backups, exports, mail, the spreadsheets an import was made from) and what a disk keeps of removed files. An old spreadsheet is refused when it is imported again as it was; one whose lines were moved is not known again and brings the golfer back, so take the rows out of it. What the law asks of an erasure, and what must be kept, differs from place to place: ask whoever answers for data protection where you are.
      "
    `);
  });

  it('gives the same as a document with --json, and never the id in it beside the paths that had it', async () => {
    const data = await full();
    const { exit, out } = await type('erase', 'G1', '--data', data, '--json');
    expect(exit).toBe(0);
    const { rows, scan, names } = JSON.parse(out);
    expect(rows['swings.csv']).toBe(2);
    expect(scan).toMatchObject({ found: [], closed: ['documents/letter.pdf'] });
    expect(names).toBe(0);
  });

  it('says of an imported folder by how many spellings it looked', async () => {
    const data = await importedFolder(dirname(await newFolder()));
    const { exit, out, err } = await type('erase', GONE, '--data', data);
    expect(exit).toBe(0);
    expect(out).toContain('the golfer, by the id and by 4 spellings of the name, was found in 0.');
    expect(err).toContain('refused when it is imported again as it was');
  });

  it('refuses a golfer who is not there as a wrong word (2), and changes nothing', async () => {
    const data = await full();
    const before = await snapshot(data);
    for (const golfer of ['G99', 'g1', '', '../G1', '__proto__']) {
      const { exit, out, err } = await type('erase', golfer, '--data', data);
      expect([golfer, exit, out]).toEqual([golfer, 2, '']);
      expect(err).toContain(`the golfer: found no golfer "${golfer}" in any table`);
    }
    expect(await snapshot(data)).toEqual(before);
  });

  it('refuses a folder that is not there, no folder, no golfer, and a key that is not there (2)', async () => {
    const nowhere = await newFolder();
    expect(await type('erase', 'G1', '--data', nowhere)).toMatchObject({
      exit: 2,
      err: expect.stringContaining('found no folder'),
    });
    expect((await type('erase', 'G1')).exit).toBe(2);
    expect((await type('erase', '--data', nowhere)).exit).toBe(2);
    const data = await full();
    const { exit, err } = await type('erase', 'G1', '--data', data, '--key', join(nowhere, 'none.key'));
    expect(exit).toBe(2);
    expect(err).toContain('the key with which the pseudonyms were made');
  });

  it('refuses what stands in the way in the data (1): a history, an id that is no word of its own', async () => {
    const data = await full();
    await mkdir(join(data, '.git'));
    await writeFile(join(data, '.git', 'HEAD'), 'ref');
    const history = await type('erase', 'G1', '--data', data);
    expect(history.exit).toBe(1);
    expect(history.err).toContain('version control, whose history keeps everything');
    const numbers = await newFolder();
    await writeFiles(numbers, {
      'golfers.csv': 'golfer_id,plays\n7,right\n',
      'sessions.csv': 'session_id,golfer_id,date,phase\nS1,7,2026-03-01,baseline\n',
      'swings.csv': 'swing_id,session_id,order_in_session,task\nW1,S1,1,full\n',
    });
    const number = await type('erase', '7', '--data', numbers);
    expect(number.exit).toBe(1);
    expect(number.err).toContain("run 'pseudonymise' first");
  });

  it('waits for nobody: a folder that another process writes is left, in words (1)', async () => {
    const data = await full();
    await lockedElsewhere(data);
    const before = await snapshot(data);
    const { exit, err } = await type('erase', 'G1', '--data', data);
    expect(exit).toBe(1);
    expect(err).toContain('is being written by another process, so nothing was done');
    expect(await snapshot(data)).toEqual(before);
  });
});
