/** The example under the `--help` of every command, typed as it stands, each in a folder with what it names. */
import { cpSync, readFileSync, writeFileSync } from 'node:fs';
import { beforeEach, describe, expect, it } from 'vitest';
import { COMMANDS } from '../../src/cli/commands.ts';
import { shellWords } from '../../src/dataset/index.ts';
import { type } from '../cli/harness.ts';
import { sitDown } from './reader.ts';
import { typeAsReader } from './run-command.ts';

const full = process.env.SAMPLES === 'full';

/** What a reader has done by then, in words of commands; `my-roster` is the demo. */
const BEFORE: Readonly<Record<string, readonly string[]>> = {
  verify: ['ask drill-trial --data my-roster --plan plan.json --out my-report'],
  export: ['ask drill-trial --data my-roster --plan plan.json --out my-report'],
  unpack: ['pack my-roster --out my-roster-packed'],
};

/** Golfers who agreed to being handed on, where the command is about them. */
const CONSENTING: readonly string[] = ['share', 'export'];

beforeEach(sitDown);

describe('examples under --help', { timeout: full ? 600_000 : 120_000 }, () => {
  it.each(COMMANDS)('$name', async ({ name, example }) => {
    if (name !== 'init') cpSync('synthetic/demo', 'my-roster', { recursive: true });
    if (CONSENTING.includes(name)) {
      const golfers = readFileSync('my-roster/golfers.csv', 'utf8');
      writeFileSync('my-roster/golfers.csv', golfers.replaceAll(',study,', ',share,'));
    }
    for (const sentence of [...(BEFORE[name] ?? []), example]) {
      const words = ['npm', 'run', '--silent', 'cli', '--', ...shellWords(sentence)];
      const { exit, out, err } = await typeAsReader({ line: 1, words, into: null }, full);
      expect(exit, `${out}${err}`).toBe(0);
    }
  });

  it('stands in the help of the command', async () => {
    for (const { name, example } of COMMANDS)
      expect((await type(name, '--help')).out).toContain(`npm run --silent cli -- ${example}`);
  });
});
