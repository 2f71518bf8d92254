import { copyFileSync, cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DuckDBInstance } from '@duckdb/node-api';
import { xlsxBytes } from '../dataset/import/new-xlsx.ts';
import { PROJECT, samplesOf } from './documents.ts';

/** A folder in which a reader sits down: with what the project has at hand, and nothing else. */
export function readersFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'proving-range-samples-'));
  // Copies, so that no sample can reach the project itself.
  for (const part of ['notebooks', 'synthetic', 'data-schemas'])
    cpSync(`${PROJECT}${part}`, join(folder, part), { recursive: true });
  return folder;
}

/** For before a test: works in a reader's folder of its own, until what it gives back, which vitest calls afterwards, ends that. */
export function sitDown(): () => void {
  const start = process.cwd();
  const folder = readersFolder();
  process.chdir(folder);
  return () => {
    process.chdir(start);
    rmSync(folder, { recursive: true, force: true });
  };
}

type Make = () => void | Promise<void>;

/** Files a reader brings along: what stands in for each, made in the working folder at its first mention. */
export const READERS_FILES: Readonly<Record<string, Make>> = {
  'plan.json': () => copyFileSync('synthetic/demo/plan.json', 'plan.json'),
  // The README shows the model after the commands that fit one.
  'model.json': () =>
    writeFileSync('model.json', samplesOf('README.md').find(({ language }) => language === 'json')!.text),
  'device.xlsx': lesson('device.xlsx'),
  'lesson.xlsx': lesson('lesson.xlsx'),
  'swing.c3d': () => copyFileSync('synthetic/swing/simulated/swing.c3d', 'swing.c3d'),
  'layout.json': () => copyFileSync('synthetic/swing/simulated/layout.json', 'layout.json'),
  'numbers.json': () => {
    const { metrics } = JSON.parse(readFileSync('synthetic/swing/simulated/truth.json', 'utf8'));
    const { shaft_lean_impact_deg, lag_impact_deg } = metrics;
    writeFileSync('numbers.json', JSON.stringify({ shaft_lean_impact_deg, lag_impact_deg }));
  },
  folder: () => {
    mkdirSync('folder');
    copyFileSync('synthetic/swing/simulated/swing.c3d', 'folder/G01-01.c3d');
  },
  'data.csv': () => query(`COPY (${SWINGS}) TO 'data.csv'`),
  'swings.parquet': () => query(`COPY (${SWINGS}) TO 'swings.parquet' (FORMAT parquet)`),
  'sums.csv': () =>
    query(
      `CREATE VIEW swings AS ${SWINGS};
       COPY (${readFileSync('sums.sql', 'utf8').trim().replace(/;$/, '')}) TO 'sums.csv' (HEADER)`,
    ),
  'points.csv': () => {
    const [header, ...rows] = readFileSync('notebooks/data/elbow/points.csv', 'utf8').trim().split('\n');
    const names = header!.replaceAll('AcromionR', 'SHO').replaceAll('LateralEpicondyleR', 'ELB');
    writeFileSync('points.csv', `${[names.replaceAll('RadialStyloidR', 'WRI'), ...rows].join('\n')}\n`);
  },
};

/** The swings of the demo, each with its golfer and phase. */
const SWINGS = `SELECT swings.*, golfer_id, phase
  FROM read_csv('synthetic/demo/swings.csv') AS swings
  JOIN read_csv('synthetic/demo/sessions.csv') AS sessions USING (session_id)
  WHERE task = 'full' AND phase IN ('baseline', 'post')`;

async function query(sql: string): Promise<void> {
  const connection = await (await DuckDBInstance.create(':memory:')).connect();
  await connection.run(sql);
  connection.closeSync();
}

function lesson(file: string): Make {
  const rows = [
    ['Date', 'Golfer', 'Club speed (mph)'],
    [{ date: 46085 }, 'G01', 80.5],
    [{ date: 46085 }, 'G02', 81],
  ];
  return () => writeFileSync(file, xlsxBytes([{ rows }]));
}

/** What a reader does by hand where the text says so, just before the first command that begins with the words. */
export const READERS_DEEDS: Readonly<Record<string, { readonly says: string; readonly does: Make }>> = {
  'check my-roster': {
    says: 'Fill in four spreadsheets',
    does: () => {
      for (const table of ['golfers', 'instructors', 'sessions', 'swings', 'assignments', 'practice'])
        copyFileSync(`synthetic/demo/${table}.csv`, `my-roster/${table}.csv`);
    },
  },
  'import --propose notebooks/tutorials/data/after.csv': {
    says: 'save it as `my-trial/assignments.csv`',
    does: () => copyFileSync('notebooks/tutorials/data/assignments.csv', 'my-trial/assignments.csv'),
  },
  'import --mapping my-mapping/mapping.json': {
    says: 'looked through by you',
    does: () => {
      const mapping = JSON.parse(readFileSync('my-mapping/mapping.json', 'utf8'));
      Object.assign(mapping.sessions, { phase: 'training' });
      mapping.task = 'full';
      for (const golfer of mapping.golfers) Object.assign(golfer, { status: 'known', plays: 'right' });
      writeFileSync('my-mapping/mapping.json', JSON.stringify(mapping));
    },
  },
};

/** Where a sample takes long, how the everyday test makes it small; with SAMPLES=full it runs as printed. */
export const MADE_SMALL: Readonly<Record<string, (words: readonly string[]) => readonly string[]>> = {
  'plan --recipe': (words) => [...words, '--draws', '200'],
  'generate --recipe mechanics-roster': (words) => {
    const recipe = JSON.parse(readFileSync('synthetic/recipes/mechanics-roster.json', 'utf8'));
    recipe.roster = { golfers: 2 };
    recipe.session = { ...recipe.session, fullSwings: 2, drillSwings: 1 };
    recipe.design.visits = recipe.design.visits.slice(0, 2);
    writeFileSync('small.json', JSON.stringify(recipe));
    return words.map((word) => (word === 'mechanics-roster' ? 'small.json' : word));
  },
  'calibrate --study': (words) => words.map((word) => (/^\d+$/.test(word) ? '20' : word)),
};

/** Commands that are about the project as checked out; .ci/run runs them there. */
export const BY_CI: readonly string[] = ['npm ci', 'npm test'];
