import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import type { CommandSpec } from '../../src/cli/command.ts';
import { COMMANDS } from '../../src/cli/commands.ts';
import { type Typed, type } from '../cli/harness.ts';
import { PROJECT } from './documents.ts';
import { BY_CI, MADE_SMALL, READERS_DEEDS, READERS_FILES } from './reader.ts';
import type { ShellCommand } from './shell-lines.ts';

const CLI = 'npm run --silent cli -- ';
const { scripts } = JSON.parse(readFileSync(`${PROJECT}package.json`, 'utf8')) as {
  readonly scripts: Readonly<Record<string, string>>;
};

/** The words after `npm run --silent cli -- `, or null where the project's own checks run the command. */
export function wordsOfCli(command: ShellCommand): readonly string[] | null {
  const typed = command.words.join(' ');
  if (BY_CI.includes(typed)) return null;
  if (typed.startsWith(CLI)) return command.words.slice(CLI.trim().split(' ').length);
  const script = typed.startsWith('npm run ') ? scripts[typed.slice('npm run '.length)] : undefined;
  if (script?.startsWith(`${scripts.cli} `)) return script.slice(scripts.cli!.length + 1).split(' ');
  throw new Error(`line ${command.line}: "${typed}" is no command of this project, and no check runs it`);
}

/** What the table of a reader's files and deeds was asked for, to find what nobody needs any more. */
export const asked = new Set<string>();

/**
 * Types a command in the working folder, with whatever the reader has brought or done by then. Throws where it names a
 * file that nothing before it makes and no reader is said to have.
 */
export async function typeAsReader(command: ShellCommand, full: boolean): Promise<Typed> {
  const words = wordsOfCli(command);
  if (words === null) return { exit: 0, out: '', err: '' };
  const sentence = words.join(' ');
  for (const [begins, deed] of Object.entries(READERS_DEEDS))
    if (sentence.startsWith(begins) && !asked.has(begins)) {
      asked.add(begins);
      await deed.does();
    }
  for (const file of filesNeeded(words)) {
    if (existsSync(file)) continue;
    if (READERS_FILES[file] === undefined)
      throw new Error(
        `line ${command.line}: "${file}" is made by no sample before it and is no file of a reader`,
      );
    asked.add(file);
    await READERS_FILES[file]();
  }
  const small = full ? undefined : Object.keys(MADE_SMALL).find((begins) => sentence.startsWith(begins));
  if (small !== undefined) asked.add(small);
  const typed = await type(...(small === undefined ? words : MADE_SMALL[small]!(words)));
  if (command.into !== null) writeFileSync(command.into, typed.out);
  return typed;
}

/** Which of the words are files or folders that must be there: all that a command takes, less what it makes. */
export function filesNeeded(words: readonly string[]): readonly string[] {
  const spec = commandOf(words);
  const needed: string[] = [];
  let place = 0;
  for (let i = 1; i < words.length; i++) {
    const word = words[i]!;
    if (!word.startsWith('--')) {
      const usage = spec.arguments?.[place++]?.usage ?? '';
      if (/file|folder|report|notebook/.test(usage) && spec.name !== 'init') needed.push(word);
      continue;
    }
    const usage = optionOf(spec, word).split(' ')[1];
    if (usage !== undefined) i++;
    // A key is made where there is none yet, and a dataset by the first import.
    const made = word === '--out' || word === '--key' || (spec.name === 'import' && word === '--data');
    if (/file|folder/.test(usage ?? '') && !made) needed.push(words[i]!);
  }
  return needed;
}

/** The command of that name. */
export function commandOf(words: readonly string[]): CommandSpec {
  const spec = COMMANDS.find(({ name }) => name === words[0]);
  if (spec === undefined) throw new Error(`there is no command "${words[0]}"`);
  return spec;
}

/** How an option is declared, such as `--out <folder>`. */
export function optionOf(spec: CommandSpec, option: string): string {
  const found = [...spec.options.map(({ usage }) => usage), '--json', '--help'].find(
    (usage) => usage.split(' ')[0] === option,
  );
  if (found === undefined) throw new Error(`${spec.name} has no option ${option}`);
  return found;
}
