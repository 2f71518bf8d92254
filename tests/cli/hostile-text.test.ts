import { mkdir, readdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import Papa from 'papaparse';
import { describe, expect, it } from 'vitest';
import { textOfCell } from '../../src/report/index.ts';
import { newFolder, trialRows, type, untidy, writeRows } from './harness.ts';
import { drill, ESCAPE, hostileIds as ids, obeyed } from './hostile-words.ts';

/** A folder of a small trial whose golfers and arms have hostile codes, with hostile columns and plan beside. */
async function hostileFolder(): Promise<string> {
  const rows = trialRows({
    golfersPerArm: ids.length / 2,
    swingsPerSession: 3,
    arms: ['control', drill],
    value: (g, arm, phase, s) => untidy(g, arm === drill ? 'drill' : arm, phase, s),
  });
  const { golfers: golferRows = [], sessions = [], assignments = [], swings = [] } = rows;
  const names = new Map(golferRows.map(({ golfer_id }, k) => [golfer_id, ids[k]]));
  for (const table of [golferRows, sessions, assignments])
    for (const row of table) row.golfer_id = names.get(row.golfer_id);
  for (const swing of swings) swing.club = '<i>=club</i>';
  const folder = await writeRows(rows);
  // A column of our own with a title and cells of ten thousand letters.
  const golfers = (await readFile(join(folder, 'golfers.csv'), 'utf8')).trimEnd().split('\n');
  const wide = golfers.map(
    (line, k) => `${line},${k === 0 ? `=title <b>${'t'.repeat(10_000)}` : 'c'.repeat(10_000)}`,
  );
  await writeFile(join(folder, 'golfers.csv'), `${wide.join('\n')}\n`);
  await writeFile(
    join(folder, 'plan.json'),
    JSON.stringify({
      study: 'drill-trial',
      question: `<script>window.owned=5</script> ${ESCAPE}\nThe report: forged; turned 56 deg שלום 12?`,
      metric: { column: 'shaft_lean_impact_deg' },
      arms: { control: 'control', drill: [drill] },
      smallestChangeThatMatters: { value: 1, why: `56 deg ${'long '.repeat(2000)}end` },
      goodDirection: 1,
    }),
  );
  return folder;
}

describe('hostile text from a folder of spreadsheets', () => {
  it('is text in the terminal, the page, the drawings, the tables and the names of files', async () => {
    const data = await hostileFolder();
    const checked = await type('check', data);
    expect(checked.exit).toBe(0);
    expect(checked.out + checked.err).not.toMatch(obeyed);
    expect(checked.out + checked.err).not.toMatch(/t{500}|c{500}/);

    const out = join(data, '..', 'report');
    const asked = await type(
      ...['ask', 'drill-trial', '--data', data, '--plan', join(data, 'plan.json')],
      ...['--golfer-pages', '--out', out],
    );
    expect(asked.exit, asked.err).toBe(0);
    expect(asked.out + asked.err).not.toMatch(obeyed);
    expect(asked.out).toContain('\\u001b[31mred\\u202e');
    // A line end in the question makes no line that could pass for ours; the name of an arm stays as it was typed.
    expect(asked.out.match(/^The report:/gm)).toHaveLength(1);
    expect(asked.out.replace(/\s+/g, ' ')).toContain(drill);
    expect(asked.out).toContain('\u2068שלום\u2069');

    const files = await readdir(out, { recursive: true, withFileTypes: true });
    const names = files.filter((file) => file.isFile()).map((file) => join(file.parentPath, file.name));
    for (const name of names) expect(name.slice(out.length + 1)).toMatch(/^(golfers\/)?[a-z0-9-]+\.[a-z]+$/);
    expect(names.filter((name) => name.includes('golfers/'))).toHaveLength(ids.length);

    for (const name of names) {
      const text = await readFile(name, 'utf8');
      if (/\.(html|svg)$/.test(name)) {
        const own = text.replace(/<script>[\s\S]*?<\/script>/g, '');
        expect(own, name).not.toMatch(obeyed);
        expect(own, name).not.toMatch(/<b>G01|<script>window/);
      }
      if (!name.endsWith('.csv')) continue;
      const { data: cells, errors } = Papa.parse<string[]>(text.trimEnd());
      expect(errors.filter((error) => error.type !== 'Delimiter')).toEqual([]);
      for (const cell of cells.flat())
        if (!/^-?[\d.]+(e[+-]?\d+)?$/.test(cell)) expect(cell, name).not.toMatch(/^\s*[=+\-@＝\t\r]/);
    }

    // Every code comes back letter for letter from the table, and stands as it was typed on a page of its own.
    const table = Papa.parse<Record<string, string>>(await readFile(join(out, 'golfers.csv'), 'utf8'), {
      header: true,
      skipEmptyLines: true,
    });
    const [first = ''] = table.meta.fields ?? [];
    expect(table.data.map((row) => textOfCell(row[first] ?? '')).sort()).toEqual([...ids].sort());
    const page = await readFile(join(out, 'drill-trial.html'), 'utf8');
    const body = page.replace(/<script[\s\S]*?<\/script>/g, '');
    expect(body).toContain('turned 56 deg');
    expect(body).not.toContain('turned 56°');
    expect(body).toContain('<bdi>שלום</bdi> 12');
    expect(body).toMatch(/The rest of it: [\d\u202f]+ characters/);
  }, 120_000);

  it('is shown with codes where a cell is refused for it', async () => {
    const data = await newFolder();
    await mkdir(data);
    await writeFile(
      join(data, 'golfers.csv'),
      `golfer_id,plays\n"G${ESCAPE}",right\n${'x'.repeat(10_000)},left\n`,
    );
    const { exit, out, err } = await type('check', data);
    expect(exit).toBe(1);
    expect(out + err).not.toMatch(obeyed);
    expect(out + err).toContain('G\\u001b[31mred\\u202e');
    expect(out + err).toContain('10000');
    expect(out + err).not.toMatch(/x{200}/);
  });

  it('is a document that says the same under --json', async () => {
    const asked = await type('ask', `no${ESCAPE}`, '--data', 'nowhere', '--json');
    expect(asked.exit).toBe(2);
    expect(asked.out).not.toMatch(obeyed);
    expect(JSON.parse(asked.out).problems[0].found).toBe(`"no${ESCAPE}"`);
    expect((await type('ask', 'nois', '--data', 'nowhere')).err).toContain('write noise');
  });
});
