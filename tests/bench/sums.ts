/**
 * `npm run bench -- sums` makes a Parquet file of swings, sums it by the embedded SQL engine, fits the model from the
 * sums and prints seconds and peak memory; with `--large` 50 million rows instead of 1 million. The file is in a
 * temporary folder and deleted afterwards. The smaller file is also fitted from its rows, for the digits.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { DuckDBInstance } from '@duckdb/node-api';
import { sumFile } from '../../src/dataset/index.ts';
import { fitModel, fitSums, type Model } from '../../src/stats/index.ts';

const GOLFERS = 10_000;
const SESSIONS = 5;

const model: Model = {
  outcome: 'carry',
  fixed: ['intercept', { column: 'speed' }, { column: 'club', levels: ['short', 'long'] }],
  random: [
    { group: 'golfer', effects: ['intercept', 'speed'] },
    { group: ['golfer', 'session'], effects: ['intercept'] },
  ],
};

/** Levels and noise from a hash of the row's number, so that every run writes the same file. */
function swingsQuery(rows: number): string {
  const noise = (key: string, salt: number) =>
    `(sqrt(-2 * ln((hash(${key}, ${salt}) % 1000003 + 1) / 1000004.0)) * cos(6.283185307179586 * (hash(${key}, ${salt + 1}) % 1000003) / 1000003.0))`;
  return `SELECT golfer, session, club, speed,
      150 + 2.5 * (speed - 45) + (club = 'long')::INT * 12 + 6 * ${noise('golfer', 11)}
        + 0.3 * ${noise('golfer', 13)} * (speed - 45) + 2 * ${noise('golfer * 100 + session', 17)}
        + 5 * ${noise('i', 19)} AS carry
    FROM (SELECT i, i % ${GOLFERS} AS golfer, (i // ${GOLFERS}) % ${SESSIONS} AS session,
        CASE WHEN hash(i, 5) % 2 = 0 THEN 'short' ELSE 'long' END AS club,
        45 + 3 * ${noise(`i % ${GOLFERS}`, 23)} + 1.5 * ${noise('i', 29)} AS speed
      FROM range(${rows}) AS r(i))`;
}

/** Run in a process of its own, so that its peak memory is that of summing and fitting alone. */
async function sumAndFit(path: string): Promise<void> {
  const start = performance.now();
  const sums = await sumFile(model, path);
  if (!sums.ok) throw new Error(JSON.stringify(sums.problems));
  const summed = performance.now();
  const outcome = fitSums(sums.plan, sums.table);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  const fitted = performance.now();
  const { observations, groups, fixed, residualSd, random, logLikelihood, diagnosis } = outcome.fit.result;
  const cells = sums.table.row_count!.length;
  console.log(
    `${observations} rows -> ${cells} cells; ${Object.entries(groups)
      .map(([group, count]) => `${count} ${group}`)
      .join(', ')}`,
  );
  console.log(
    `summing ${((summed - start) / 1000).toFixed(1)} s, fitting ${((fitted - summed) / 1000).toFixed(1)} s`,
  );
  console.log(`peak memory ${(process.resourceUsage().maxRSS / 1024).toFixed(0)} MiB (1024 wanted at most)`);
  console.log(
    JSON.stringify({
      fixed: fixed.map((f) => f.estimate),
      random: random.flatMap((r) => r.sd),
      residualSd,
      logLikelihood,
      converged: diagnosis.converged,
    }),
  );
}

async function main(large: boolean): Promise<void> {
  const rows = large ? 50_000_000 : 1_000_000;
  const folder = mkdtempSync(join(tmpdir(), 'bench-sums-'));
  try {
    const path = join(folder, 'swings.parquet');
    const instance = await DuckDBInstance.create(':memory:', {
      memory_limit: '512MB',
      threads: '2',
      temp_directory: folder,
    });
    const connection = await instance.connect();
    await connection.run('SET preserve_insertion_order = false');
    await connection.run(`COPY (${swingsQuery(rows)}) TO '${path}' (FORMAT parquet)`);
    console.log(`${(statSync(path).size / 2 ** 20).toFixed(0)} MiB of Parquet`);
    const program = fileURLToPath(import.meta.url);
    spawnSync(process.execPath, ['--import', 'tsx', program, '--file', path], { stdio: 'inherit' });
    if (!large) {
      const columns = (
        await connection.runAndReadAll(`SELECT * FROM read_parquet('${path}')`)
      ).getColumnsJS();
      const data = Object.fromEntries(
        ['golfer', 'session', 'club', 'speed', 'carry'].map((name, c) => [
          name,
          columns[c]!.map((v) => (typeof v === 'bigint' ? Number(v) : v)) as (number | string)[],
        ]),
      );
      const start = performance.now();
      const outcome = fitModel(model, data);
      if (outcome.ok)
        console.log(
          `from rows ${((performance.now() - start) / 1000).toFixed(1)} s: ${JSON.stringify({ fixed: outcome.fit.result.fixed.map((f) => f.estimate), random: outcome.fit.result.random.flatMap((r) => r.sd), residualSd: outcome.fit.result.residualSd, logLikelihood: outcome.fit.result.logLikelihood })}`,
        );
    }
    connection.closeSync();
    instance.closeSync();
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

const file = process.argv.indexOf('--file');
if (file >= 0) await sumAndFit(process.argv[file + 1]!);
else await main(process.argv.includes('--large'));
