/** `fit-sums` typed at a shell: against `fit` on the same file (itself held to golden pairs), and what is refused. */
import { mkdtemp, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { expectSameFit } from '../stats/models/sums/same-fit.ts';
import { type } from './harness.ts';

const DATA = fileURLToPath(new URL('../reference/models/sleepstudy.csv', import.meta.url));
const MODEL = {
  outcome: 'Reaction',
  fixed: ['intercept', { column: 'Days' }],
  random: [{ group: 'Subject', effects: ['intercept', 'Days'] }],
};

async function modelFile(): Promise<string> {
  const path = join(await mkdtemp(join(tmpdir(), 'proving-range-')), 'model.json');
  await writeFile(path, JSON.stringify(MODEL));
  return path;
}

describe('fit-sums', () => {
  it('gives what fit gives', async () => {
    const model = await modelFile();
    const sums = await type('fit-sums', '--model', model, '--data', DATA, '--predict', '--json');
    const rows = await type('fit', '--model', model, '--data', DATA, '--predict', '--json');
    expect(sums.exit).toBe(0);
    expectSameFit(JSON.parse(sums.out), JSON.parse(rows.out));
  });

  it('prints SQL with the meaning of each column', async () => {
    const printed = await type('fit-sums', '--model', await modelFile(), '--table', 'club.swings', '--json');
    expect(printed.exit).toBe(0);
    const { sql, columns } = JSON.parse(printed.out);
    expect(sql).toContain('FROM "club"."swings" AS s');
    for (const { name } of columns) expect(sql).toContain(name);
  });

  it('wants one source', async () => {
    const model = await modelFile();
    for (const more of [[], ['--data', DATA, '--table', 'swings']]) {
      const refused = await type('fit-sums', '--model', model, ...more);
      expect(refused.exit).toBe(2);
      expect(refused.err).toContain('one of --data');
    }
  });
});
