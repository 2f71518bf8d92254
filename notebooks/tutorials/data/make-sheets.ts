/**
 * The spreadsheets of the coach's tutorial, invented: `npx tsx notebooks/tutorials/data/make-sheets.ts before` and, once chance
 * has dealt the arms in assignments.csv, `... after`. What is true in them stands here: practice adds 0.3 deg of shaft lean,
 * the drill 3 deg more on average, differently in each golfer.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { createStream } from 'proving-range/numerics';

const HERE = new URL('.', import.meta.url);
const GOLFERS = 24;
const SWINGS = 8;
const PRACTICE_DEG = 0.3;
const DRILL_DEG = 3;
const COLUMNS = 'Date,Golfer,Plays,Handicap,Phase,Task,Swing no.,Shaft lean at impact (deg),Club speed (mph)';

const draw = (name: string): number => createStream(2026, name).normal();
const dayOf = (month: string, golfer: number): string =>
  `2026-${month}-${String(2 + (golfer % 5)).padStart(2, '0')}`;

function sheet(phase: 'baseline' | 'post', armOf: (golfer: string) => string | undefined): string {
  const lines = [COLUMNS];
  for (let k = 1; k <= GOLFERS; k++) {
    const golfer = `G${String(k).padStart(2, '0')}`;
    const handicap = Math.max(0, 16 + 7 * draw(`${golfer} handicap`));
    const usual = 7 - 0.15 * handicap + 1.8 * draw(`${golfer} lean`);
    const drill = armOf(golfer) === 'drill' ? DRILL_DEG + 0.8 * draw(`${golfer} response`) : 0;
    const gain = phase === 'post' ? PRACTICE_DEG + drill : 0;
    const day = usual + gain + 0.7 * draw(`${golfer} ${phase}`);
    for (let swing = 1; swing <= SWINGS; swing++) {
      const lean = day + 1.2 * draw(`${golfer} ${phase} ${swing}`);
      const speed = 88 - 0.7 * handicap + 1.1 * draw(`${golfer} ${phase} speed ${swing}`);
      const plays = k % 8 === 0 ? 'left' : 'right';
      lines.push(
        [
          dayOf(phase === 'post' ? '05' : '03', k),
          golfer,
          plays,
          handicap.toFixed(1),
          phase,
          'full',
          swing,
          lean.toFixed(1),
          speed.toFixed(1),
        ].join(','),
      );
    }
  }
  return `${lines.join('\n')}\n`;
}

if (process.argv[2] === 'after') {
  const rows = readFileSync(new URL('assignments.csv', HERE), 'utf8').trim().split('\n').slice(1);
  const arms = new Map(rows.map((row) => row.split(',')).map(([golfer, , arm]) => [golfer!, arm!]));
  writeFileSync(
    new URL('after.csv', HERE),
    sheet('post', (golfer) => arms.get(golfer)),
  );
} else
  writeFileSync(
    new URL('before.csv', HERE),
    sheet('baseline', () => undefined),
  );
