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

it('knows the golfers of an earlier import by their names, and says what to do next', async () => {
  const root = await mkdtemp(join(tmpdir(), 'import-cli-'));
  try {
    const data = join(root, 'the roster');
    const bring = async (name: string, phase: string, rows: readonly string[]) => {
      const sheet = join(root, `${name}.csv`);
      await writeFile(sheet, `date,golfer,plays,club speed (mph)\n${rows.join('\n')}\n`);
      const knowing = name === 'before' ? [] : ['--data', data];
      const proposed = await typed('import', '--propose', sheet, '--out', join(root, name), ...knowing);
      expect([proposed.exit, proposed.err]).toEqual([0, '']);
      const file = join(root, name, 'mapping.json');
      const mapping = JSON.parse(await readFile(file, 'utf8'));
      const golfers = structuredClone(mapping.golfers);
      for (const golfer of mapping.golfers) if ('same' in golfer) golfer.same = 'yes';
      mapping.sessions.phase = phase;
      mapping.task = 'full';
      await writeFile(file, JSON.stringify(mapping));
      const imported = await typed('import', '--mapping', file, '--data', data);
      expect([imported.exit, imported.err]).toEqual([0, '']);
      return { golfers, words: proposed.out };
    };
    await bring('before', 'baseline', [
      '2026-03-04,Zoë Alder,right,80',
      '2026-03-04,Zoe Alder,right,81',
      '2026-03-04,Bo Birch,left,75',
    ]);
    const { golfers, words } = await bring('after', 'post', [
      '2026-05-04,Bo Birch,left,77',
      '2026-05-04,Zoe Alder,right,82',
      '2026-05-05,ZOE ALDER,right,83',
      '2026-05-04,Cy Cedar,right,70',
    ]);
    expect(golfers).toMatchObject([
      { golfer_id: 'G02', written: ['Bo Birch'], status: 'known', plays: null },
      { golfer_id: 'G01', written: ['Zoe Alder', 'ZOE ALDER'], status: 'known', same: 'ask' },
      { golfer_id: 'G03', written: ['Cy Cedar'], status: 'new' },
    ]);
    expect(golfers[0]).not.toHaveProperty('same');
    expect(words.replace(/\s+/g, ' ')).toContain('each question stands there as "ask"');
    expect(words).toContain(`--data '${data}'`);
    const roster = await readFile(join(data, 'golfers.csv'), 'utf8');
    expect(roster.trim().split('\n')).toHaveLength(4);
  } finally {
    await rm(root, { recursive: true, force: true });
  }
});

it('says how a second device is put beside the first, and puts it there by the number of the swing', async () => {
  const root = await mkdtemp(join(tmpdir(), 'import-cli-'));
  try {
    const data = join(root, 'roster');
    const bring = async (name: string, text: string, joined: boolean) => {
      const [sheet, out] = [join(root, `${name}.csv`), join(root, `${name}-${joined}`)];
      await writeFile(sheet, text);
      const knowing = name === 'flight' ? ['--data', data] : [];
      expect((await typed('import', '--propose', sheet, '--out', out, ...knowing)).exit).toBe(0);
      const file = join(out, 'mapping.json');
      const mapping = JSON.parse(await readFile(file, 'utf8'));
      for (const golfer of mapping.golfers) if (golfer.plays === 'ask') golfer.plays = 'right';
      Object.assign(mapping, { task: 'full', join: joined ? { by: 'swing_id' } : null });
      mapping.sessions.phase = 'baseline';
      await writeFile(file, JSON.stringify(mapping));
      return typed('import', '--mapping', file, '--data', data);
    };
    const body = 'date,golfer,plays,swing no.,shaft lean at impact (deg)\n2026-03-04,G01,right,1,5\n';
    expect((await bring('body', `${body}2026-03-04,G01,right,2,6\n`, false)).exit).toBe(0);
    const flight = 'date;golfer;swing no.;club speed (m/s)\n2026-03-04;G01;2;36,5\n2026-03-04;G01;7;35\n';
    const apart = await bring('flight', flight, false);
    expect(apart.err).toContain('"join": {"by": "swing_id"}');
    await rm(data, { recursive: true });
    expect((await bring('body2', `${body}2026-03-04,G01,right,2,6\n`, false)).exit).toBe(0);
    const beside = await bring('flight', flight, true);
    expect(beside.out).toContain('2 rows: 0 imported, 1 joined, 1 left out.');
    expect(beside.err).toContain("the dataset has no swing 'G01-2026-03-04-07'");
    const swings = (await readFile(join(data, 'swings.csv'), 'utf8')).trim().split('\n');
    const at = swings[0]!.split(',').indexOf('club_speed_mps');
    expect(swings.slice(1).map((line) => line.split(',')[at] || '')).toEqual(['', '36.5']);
  } finally {
    await rm(root, { recursive: true, force: true });
  }
});
