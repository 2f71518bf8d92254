/** The way of the README beside the source: a view over three tables on a second engine, its sums fitted here. */
import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { sqlTable, sumsQuery } from '../../../src/dataset/index.ts';
import { createStream } from '../../../src/numerics/index.ts';
import { type DataColumns, fitModel, fitSums, type Model } from '../../../src/stats/index.ts';
import { expectSameFit, resultOf } from '../../stats/models/sums/same-fit.ts';
import { planOf } from '../../stats/models/sums/sums-of-rows.ts';

const noSqlite = spawnSync('python3', ['-c', 'import sqlite3']).status !== 0;

const random: Model['random'] = [
  { group: 'golfer_id', effects: ['intercept'] },
  { group: ['golfer_id', 'session_id'], effects: ['intercept'] },
];
const MODELS: Readonly<Record<string, Model>> = {
  'a drill trial': {
    outcome: 'shaft_lean_impact_deg',
    fixed: [
      'intercept',
      { column: 'phase', levels: ['baseline', 'post'] },
      { column: 'arm', levels: ['control', 'drill'] },
      { product: ['phase', 'arm'] },
    ],
    random,
  },
  'an arrow of a mechanism': {
    outcome: 'shaft_lean_impact_deg',
    fixed: [
      'intercept',
      { column: 'release_onset_ms', within: 'golfer_id' },
      { column: 'release_onset_ms', between: 'golfer_id' },
    ],
    random,
  },
};

/** The view, word for word as the README has it. */
const VIEW = /```sql\n([\s\S]*?)```/.exec(
  readFileSync(fileURLToPath(new URL('../../../src/dataset/sums/README.md', import.meta.url)), 'utf8'),
)![1]!;

type Row = (string | number | null)[];

/** Three tables, and the rows of the view as they must be. */
function federation() {
  const stream = createStream(8, 'federation');
  const [sessions, assignments, swings, view]: [Row[], Row[], Row[], Row[]] = [[], [], [], []];
  for (let g = 0; g < 16; g += 1) {
    const [golfer, arm, level] = [`G${g}`, g % 2 ? 'drill' : 'control', 2 * stream.normal()];
    assignments.push([golfer, arm]);
    for (const [s, phase] of ['baseline', 'baseline', 'post', 'post', 'retention'].entries()) {
      const session = `${golfer}-S${s}`;
      const day = stream.normal();
      sessions.push([session, golfer, phase]);
      for (let i = 0; i < 6; i += 1) {
        const release = 60 + 8 * stream.normal();
        const gone = stream.uniform() < 0.05;
        const lean = gone
          ? null
          : 4 +
            level +
            day +
            0.1 * (release - 60) +
            (arm === 'drill' && phase === 'post' ? 1.5 : 0) +
            stream.normal();
        const task = i === 5 ? 'drill' : 'full';
        swings.push([`${session}-${i}`, session, task, lean, release]);
        if (task === 'full' && phase !== 'retention') view.push([session, lean, release, golfer, phase, arm]);
      }
    }
  }
  return { sessions, assignments, swings, view };
}

describe.skipIf(noSqlite)('sums made where the data already are', () => {
  for (const [what, model] of Object.entries(MODELS))
    it(`${what}: the SQL of the README on SQLite gives the fit from the rows`, () => {
      const { sessions, assignments, swings, view } = federation();
      const plan = planOf(model);
      const job = {
        tables: [
          { table: 'sessions', columns: ['session_id', 'golfer_id', 'phase'], rows: sessions },
          { table: 'assignments', columns: ['golfer_id', 'arm'], rows: assignments },
          {
            table: 'swings',
            columns: ['swing_id', 'session_id', 'task', 'shaft_lean_impact_deg', 'release_onset_ms'],
            rows: swings,
          },
        ],
        before: VIEW,
        sql: sumsQuery(plan, sqlTable('swings_with_design')),
      };
      const script = fileURLToPath(new URL('./sqlite.py', import.meta.url));
      const { stdout, stderr } = spawnSync('python3', [script], {
        input: JSON.stringify(job),
        encoding: 'utf8',
      });
      if (stderr) throw new Error(stderr);
      const sums: DataColumns = JSON.parse(stdout);
      const names = ['session_id', 'shaft_lean_impact_deg', 'release_onset_ms', 'golfer_id', 'phase', 'arm'];
      const rows = Object.fromEntries(names.map((name, c) => [name, view.map((row) => row[c]!)]));
      const fromRows = resultOf(fitModel(model, rows, { predict: true }));
      expect(fromRows.leftOut.length).toBeGreaterThan(0);
      expectSameFit(resultOf(fitSums(plan, sums, { predict: true })), fromRows);
    });
});
