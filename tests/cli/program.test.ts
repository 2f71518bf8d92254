import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { COMMANDS } from '../../src/cli/commands.ts';
import { createProgress } from '../../src/cli/progress.ts';
import { studies } from '../../src/studies/index.ts';
import { newFolder, trialRows, type, untidy, writeRows } from './harness.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));

describe('help', () => {
  it.each(COMMANDS.map((command) => command.name))(
    '%s --help has an example of that command',
    async (name) => {
      const typed = await type(name, '--help');
      expect(typed.exit).toBe(0);
      expect(typed.out).toContain(`Example:\n  npm run --silent cli -- ${name}`);
    },
  );

  it('names every study there is', async () => {
    const { out } = await type('ask', '--help');
    for (const name of Object.keys(studies)) expect(out).toContain(name);
  });
});

describe('a wrong request: exit 2, what is wrong, and what to do', () => {
  it.each([
    [['aks'], "unknown command 'aks'"],
    [['ask', 'drill-trial'], '--data'],
    [['ask', 'drill-trail', '--data', 'x'], 'drill-trail'],
    [['check'], 'no folder'],
    [['check', '--fast', 'x'], '--fast'],
    [['fit', '--model', 'nowhere.json', '--data', 'nowhere.csv'], 'nowhere.csv'],
    [['generate', '--recipe', 'drill-no-effect', '--seed', 'seven', '--out', 'x'], 'seven'],
    [['generate', '--recipe', 'no-such', '--seed', '7', '--out', 'x'], 'no-such'],
    [['measure', '--capture', 'nowhere.c3d', '--layout', 'nowhere.json'], 'nowhere.c3d'],
    [['run', 'nowhere.ts', '--out', 'x'], 'nowhere.ts'],
  ])('%j', async (words, says) => {
    const plain = await type(...words);
    expect(plain.exit).toBe(2);
    expect(plain.out).toBe('');
    expect(plain.err).toContain(says);
    expect(plain.err).not.toMatch(/\n\s+at /);
    const json = await type(...words, '--json');
    expect(json.exit).toBe(2);
    expect(JSON.parse(json.out)).toHaveProperty('problems');
  });
});

describe('with --json stdout holds one document and nothing else', () => {
  it('as a process of its own, for ask', async () => {
    const folder = await writeRows(
      trialRows({ golfersPerArm: 6, swingsPerSession: 4, arms: ['control', 'drill'], value: untidy }),
    );
    const run = spawnSync(
      'npm',
      ['run', '--silent', 'cli', '--', 'ask', 'drill-trial', '--data', folder, '--json'],
      { cwd: root, encoding: 'utf8' },
    );
    expect(run.status).toBe(0);
    expect(JSON.parse(run.stdout)).toMatchObject({ study: 'drill-trial' });
    expect(run.stderr).toBe('');
  });

  it('for fit, and the exit code tells a wrong model from a good one', () => {
    const folder = mkdtempSync(join(tmpdir(), 'proving-range-'));
    const data = join(folder, 'data.csv');
    const model = join(folder, 'model.json');
    writeFileSync(data, 'y,x\n1,1\n2,2\n3,3.5\n4,4\n');
    writeFileSync(model, JSON.stringify({ outcome: 'y', fixed: ['intercept', { column: 'x' }] }));
    const call = ['run', '--silent', 'cli', '--', 'fit', '--model', model, '--data', data, '--json'];
    const out = execFileSync('npm', call, { cwd: root, encoding: 'utf8' });
    expect(JSON.parse(out)).toMatchObject({ observations: 4 });
    writeFileSync(model, JSON.stringify({ outcome: 'y', fixed: ['intercept', { column: 'z' }] }));
    const wrong = spawnSync('npm', call, { cwd: root, encoding: 'utf8' });
    expect(wrong.status).toBe(2);
    expect(JSON.parse(wrong.stdout)).toMatchObject({ problems: [{ kind: 'unknown-column' }] });
  });
});

describe('what is written', () => {
  it('init, then check: an empty folder cannot be used yet, and says what is missing', async () => {
    const folder = await newFolder('my-roster');
    expect((await type('init', folder)).exit).toBe(0);
    expect(readdirSync(folder)).toContain('dictionary.html');
    const checked = await type('check', folder, '--json');
    expect(checked.exit).toBe(1);
    expect(JSON.parse(checked.out)).toMatchObject({ valid: false });
  });

  it('demo ends with the path of the report, and that file is there', async () => {
    const folder = await newFolder('report');
    const { out, exit } = await type('demo', '--out', folder);
    expect(exit).toBe(0);
    const last = out.trimEnd().split('\n').at(-1) ?? '';
    expect(last.endsWith(join(folder, 'drill-trial.html'))).toBe(true);
    expect(readdirSync(folder)).toContain('drill-trial.html');
  });
});

describe('progress', () => {
  it.each([
    [true, 5000, 'Answering ...\n'],
    [true, 500, ''],
    [false, 5000, ''],
  ])('terminal %s, after %i ms: %j', (isTTY, elapsed, expected) => {
    let said = '';
    let now = 0;
    const stream = {
      isTTY,
      write: (text: string) => {
        said += text;
      },
    };
    const progress = createProgress(stream, () => now);
    now = elapsed;
    progress.step('Answering');
    expect(said).toBe(expected);
  });
});
