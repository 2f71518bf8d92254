import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { runProgram } from '../../src/cli/program.ts';

async function typed(...words: string[]) {
  const [out, err]: [string[], string[]] = [[], []];
  const exit = await runProgram(words, { out: (text) => out.push(text), err: (text) => err.push(text) });
  return { exit, out: out.join(''), err: err.join('') };
}

it('proposes, asks, refuses until it is answered, imports, and then has nothing to do', async () => {
  const root = await mkdtemp(join(tmpdir(), 'import-cli-'));
  try {
    const [sheet, out, data] = [join(root, 'lesson.csv'), join(root, 'm'), join(root, 'roster')];
    await writeFile(
      sheet,
      'date,golfer,plays,club speed (mph)\n2026-03-04,G01,right,80\n2026-03-04,G01,right,fast\n',
    );
    const proposed = await typed('import', '--propose', sheet, '--out', out);
    expect([proposed.exit, proposed.err]).toEqual([0, '']);
    expect(proposed.out).toContain("'club speed (mph)' -> swings.club_speed_mps, in mph");
    expect(proposed.out).toContain('To answer in the mapping before the import (2)');
    const file = join(out, 'mapping.json');
    const refused = await typed('import', '--mapping', file, '--data', data, '--json');
    expect(refused.exit).toBe(1);
    expect(JSON.parse(refused.out).problems).toHaveLength(2);
    expect(refused.err).toContain('Nothing was imported. Its 2 rows were left as they are.');
    const mapping = JSON.parse(await readFile(file, 'utf8'));
    mapping.sessions.phase = 'baseline';
    mapping.task = 'full';
    await writeFile(file, JSON.stringify(mapping));
    const imported = await typed('import', '--mapping', file, '--data', data);
    // A cell was left empty, and that is said.
    expect(imported.exit).toBe(1);
    expect(imported.out).toContain('2 rows: 2 imported, 0 left out.');
    expect(imported.err).toContain("line 3, 'club speed (mph)' was left empty: found fast");
    const again = await typed('import', '--mapping', file, '--data', data);
    expect([again.exit, again.out.includes('Nothing was changed')]).toEqual([0, true]);
    expect((await typed('import', '--mapping', file)).exit).toBe(2);
    expect((await typed('import', '--propose', sheet, '--out', out)).err).toContain(
      'exists and is not empty',
    );
  } finally {
    await rm(root, { recursive: true, force: true });
  }
});
