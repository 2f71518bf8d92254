/**
 * The same SQL text on two engines, and from the embedded one's sums the fit from rows to 8 digits: CSV and Parquet,
 * gaps, weights, factors; names of files and columns that try to break out of their quotes.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readColumns, sqlTable, sumFile, sumsQuery } from '../../../src/dataset/index.ts';
import { createStream } from '../../../src/numerics/index.ts';
import { type DataColumns, fitModel, fitSums, type Model } from '../../../src/stats/index.ts';
import { expectSameFit, resultOf } from '../../stats/models/sums/same-fit.ts';
import { planOf } from '../../stats/models/sums/sums-of-rows.ts';

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'sums-'));
});
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

const python = spawnSync('python3', [
  '-c',
  'import sqlite3; sqlite3.connect(":memory:").execute("SELECT LN(2.0)")',
]);
const noSqlite = python.status !== 0;

/** Swings of golfers in sessions, speed far from zero, with gaps: a mean of a million and an SD of one. */
function swings(names: { speed: string; golfer: string } = { speed: 'speed', golfer: 'golfer' }) {
  const stream = createStream(11, 'swings for sums');
  const rows: (string | number | null)[][] = [];
  for (let g = 0; g < 12; g++) {
    const level = stream.normal();
    for (let s = 0; s < 3; s++) {
      const session = 0.5 * stream.normal();
      for (let i = 0; i < 8; i++) {
        const speed = 1e6 + level + stream.normal();
        const club = ['short', 'long'][i % 2]!;
        const y = 1e6 + 0.7 * (speed - 1e6) + level + session + (club === 'long' ? 2 : 0) + stream.normal();
        const gone = stream.normal() > 1.8;
        rows.push([`G${g}`, `S${s}`, club, gone ? null : speed, 0.5 + (i % 3), y]);
      }
    }
  }
  return { columns: [names.golfer, 'session', 'club', names.speed, 'weight', 'carry'], rows };
}

const csvOf = ({ columns, rows }: ReturnType<typeof swings>) =>
  `${[columns, ...rows]
    .map((row) =>
      row.map((cell) => (cell === null ? '' : `"${String(cell).replaceAll('"', '""')}"`)).join(','),
    )
    .join('\n')}\n`;

const model: Model = {
  outcome: 'carry',
  fixed: [
    'intercept',
    { column: 'speed', within: 'golfer' },
    { column: 'speed', between: 'golfer' },
    { column: 'club', levels: ['short', 'long'] },
    { product: ['speed', 'club'] },
  ],
  random: [
    { group: 'golfer', effects: ['intercept'] },
    { group: ['golfer', 'session'], effects: ['intercept'] },
  ],
};

function fromRows(asked: Model, data: DataColumns) {
  return resultOf(fitModel(asked, data, { predict: true }));
}

describe('files', () => {
  for (const weights of [undefined, 'weight'])
    it(`CSV with gaps${weights ? ' and weights' : ''}: as from rows`, async () => {
      const made = swings();
      const path = join(folder, 'swings.csv');
      writeFileSync(path, csvOf(made));
      const read = readColumns('swings.csv', Buffer.from(csvOf(made)));
      if (!read.ok) throw new Error('the test wrote a bad file');
      const asked = weights ? { ...model, weights } : model;
      const sums = await sumFile(asked, path);
      if (!sums.ok) throw new Error(JSON.stringify(sums.problems));
      const found = resultOf(fitSums(sums.plan, sums.table, { predict: true }));
      const rows = fromRows(asked, read.columns);
      expect(rows.leftOut.length).toBeGreaterThan(0);
      expectSameFit(found, rows);
      expect(found.diagnosis.notes).toContain(`${rows.leftOut.length} rows were left out: speed is missing.`);
    });

  it('Parquet, and names that try to break out of their quotes', async () => {
    const names = { speed: `sp"eed') --`, golfer: `x"; DROP TABLE t; --'` };
    const made = swings(names);
    const csv = join(folder, 'made.csv');
    writeFileSync(csv, csvOf(made));
    const path = join(folder, `it's "quoted"; --.parquet`);
    const { DuckDBInstance } = await import('@duckdb/node-api');
    const instance = await DuckDBInstance.create(':memory:');
    const connection = await instance.connect();
    const text = (value: string) => `'${value.replaceAll("'", "''")}'`;
    await connection.run(
      `COPY (SELECT * FROM read_csv(${text(csv)}, header = true)) TO ${text(path)} (FORMAT parquet)`,
    );
    connection.closeSync();
    instance.closeSync();
    const asked = JSON.parse(
      JSON.stringify(model)
        .replaceAll('"speed"', JSON.stringify(names.speed))
        .replaceAll('"golfer"', JSON.stringify(names.golfer)),
    ) as Model;
    const sums = await sumFile(asked, path);
    if (!sums.ok) throw new Error(JSON.stringify(sums.problems));
    const columns = Object.fromEntries(
      made.columns.map((name, c) => [name, made.rows.map((row) => row[c]!)]),
    );
    expectSameFit(resultOf(fitSums(sums.plan, sums.table, { predict: true })), fromRows(asked, columns));
  });

  it('says what is wrong with a file, in words', async () => {
    const problemsOf = async (asked: Model, path: string) => {
      const sums = await sumFile(asked, path);
      return sums.ok ? [] : sums.problems.map(({ found, remedy }) => `${found} | ${remedy}`);
    };
    expect((await problemsOf(model, join(folder, 'none.csv')))[0]).toContain('no file of this name');
    expect((await problemsOf(model, folder))[0]).toContain('no file of this name');
    const bad = join(folder, 'bad.parquet');
    writeFileSync(bad, 'not parquet');
    expect(await problemsOf(model, bad)).toHaveLength(1);
    const star = join(folder, 'a*.csv');
    writeFileSync(star, 'y\n1\n');
    expect((await problemsOf(model, star))[0]).toContain('brackets');
    const words = join(folder, 'words.csv');
    writeFileSync(words, 'golfer,carry\nA,1\nA,2\nB,fast\nB,4\n');
    const simple: Model = {
      outcome: 'carry',
      fixed: ['intercept'],
      random: [{ group: 'golfer', effects: ['intercept'] }],
    };
    expect((await problemsOf(simple, words))[0]).toContain('fast');
    expect(await problemsOf({ ...simple, outcome: 'cary' }, words)).toEqual([
      'cary | Correct the name or add the column; perhaps carry was meant.',
    ]);
  });
});

describe.skipIf(noSqlite)('a second engine', () => {
  const run = (table: string, sql: string, { columns, rows }: ReturnType<typeof swings>): DataColumns => {
    const script = fileURLToPath(new URL('./sqlite.py', import.meta.url));
    const input = JSON.stringify({ table, columns, rows, sql });
    const { stdout, stderr } = spawnSync('python3', [script], { input, encoding: 'utf8' });
    if (stderr) throw new Error(stderr);
    return JSON.parse(stdout);
  };

  it('runs the same text, asking for the means itself, and gives the fit from rows', () => {
    for (const weights of [undefined, 'weight']) {
      const made = swings();
      const asked = weights ? { ...model, weights } : model;
      const plan = planOf(asked);
      const table = `odd "name"'s`;
      const answer = run(table, sumsQuery(plan, sqlTable(table)), made);
      const columns = Object.fromEntries(
        made.columns.map((name, c) => [name, made.rows.map((row) => row[c]!)]),
      );
      expectSameFit(resultOf(fitSums(plan, answer, { predict: true })), fromRows(asked, columns));
    }
  });

  it('runs the very text that the embedded engine ran', async () => {
    const made = swings();
    const path = join(folder, 'same.csv');
    writeFileSync(path, csvOf(made));
    const sums = await sumFile(model, path);
    if (!sums.ok) throw new Error(JSON.stringify(sums.problems));
    const source = /FROM (read_csv\([\s\S]*?\]\)) AS s/.exec(sums.query)![1]!;
    const answer = run('swings', sums.query.replaceAll(source, sqlTable('swings')), made);
    const options = { predict: true };
    expectSameFit(
      resultOf(fitSums(sums.plan, sums.table, options)),
      resultOf(fitSums(sums.plan, answer, options)),
    );
  });
});
