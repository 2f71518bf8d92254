/** Commands and options named in the running text exist; so do the scripts of package.json. */
import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { COMMANDS } from '../../src/cli/commands.ts';
import { documents, PROJECT, wordsOf } from './documents.ts';
import { commandOf, optionOf } from './run-command.ts';

const { scripts } = JSON.parse(readFileSync(`${PROJECT}package.json`, 'utf8'));
/** Options of the project's own scripts. */
const OF_SCRIPTS: Readonly<Record<string, string>> = { '--quick': 'tests/bench/run.ts' };

const names = COMMANDS.map(({ name }) => name);
const everyOption = new Set(
  COMMANDS.flatMap(({ options }) => options.map(({ usage }) => usage.split(' ')[0]!)).concat(
    '--json',
    '--help',
  ),
);

it.each(documents())('%s', (document) => {
  const faults = wordsOf(document).flatMap(({ line, text }) => {
    try {
      checkWords(text);
      return [];
    } catch (error) {
      return [`line ${line}: ${text}: ${(error as Error).message}`];
    }
  });
  expect(faults).toEqual([]);
});

function checkWords(text: string): void {
  const words = text.split(/\s+/);
  const script = /^npm run ([a-z]+)/.exec(text)?.[1];
  if (script !== undefined && scripts[script] === undefined) throw new Error(`no script "${script}"`);
  const cli = words.indexOf('cli') + (words.includes('cli') ? 2 : 1);
  const typed = text.startsWith('npm run') ? words.slice(cli) : words;
  const options = typed.filter((word) => /^--[a-z]/.test(word));
  if (names.includes(typed[0]!)) for (const option of options) optionOf(commandOf(typed), option);
  else if (text.startsWith('--') && !everyOption.has(words[0]!)) {
    const script = OF_SCRIPTS[words[0]!];
    if (script === undefined || !readFileSync(`${PROJECT}${script}`, 'utf8').includes(words[0]!))
      throw new Error('no command has this option');
  }
}
