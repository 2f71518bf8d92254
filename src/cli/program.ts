import { Command, CommanderError } from 'commander';
import type { CommandSpec } from './command.ts';
import { COMMANDS } from './commands.ts';
import { createProgress } from './progress.ts';
import { type CommandResult, refused } from './result.ts';
import { forPerson, writtenOut } from './terminal-text.ts';

/** Where the words go; the real streams in use, arrays in tests. */
export interface Streams {
  out(text: string): void;
  err(text: string): void;
}

const HOW_TO_CALL = 'npm run --silent cli --';

/**
 * Runs what was typed and returns the exit code: 0 good, 1 the data or the fit has a problem, 2 the request
 * is wrong. With --json the result is the only thing on stdout; words for people go to stderr.
 */
export async function runProgram(typed: readonly string[], streams: Streams): Promise<number> {
  let exit = 0;
  const program = new Command('proving-range')
    .usage('<command> [options]')
    .description('Tests what a swing coach teaches: from a folder of spreadsheets to an honest answer.')
    .exitOverride()
    .configureOutput({
      writeOut: (text) => streams.out(writtenOut(text)),
      writeErr: (text) => streams.err(writtenOut(text)),
    })
    .addHelpText('after', `\nExample:\n  ${HOW_TO_CALL} ask drill-trial --data my-roster --out my-report\n`);
  for (const spec of COMMANDS) addCommand(program, spec, streams, (code) => (exit = code));
  try {
    await program.parseAsync([...typed], { from: 'user' });
    return exit;
  } catch (error) {
    if (!(error instanceof CommanderError)) throw error;
    if (error.exitCode === 0) return 0;
    const spec = COMMANDS.find((command) => command.name === typed[0]);
    streams.err(`See: ${HOW_TO_CALL} ${spec === undefined ? '' : `${spec.name} `}--help\n`);
    if (typed.includes('--json')) streams.out(jsonText({ problems: [requestFault(error)] }));
    return 2;
  }
}

function addCommand(
  program: Command,
  spec: CommandSpec,
  streams: Streams,
  done: (code: number) => void,
): void {
  const command = program
    .command(spec.name)
    .description(spec.summary)
    .addHelpText('after', `\nExample:\n  ${HOW_TO_CALL} ${spec.example}\n`);
  for (const argument of spec.arguments ?? []) command.argument(argument.usage, argument.summary);
  for (const option of spec.options) {
    if (option.required === true) command.requiredOption(option.usage, option.summary);
    else command.option(option.usage, option.summary);
  }
  command.option('--json', 'print one JSON document on stdout and nothing else');
  command.action(async () => {
    const options = command.opts();
    const { run } = await spec.load();
    const result = await run({ arguments: command.args, options }, createProgress()).catch(refusedBySystem);
    for (const message of result.messages) streams.err(`${await forPerson(message)}\n`);
    if (options.json === true) streams.out(jsonText(result.json));
    else if (result.text !== '') streams.out(`${await forPerson(result.text)}\n`);
    done(result.exit);
  });
}

function requestFault(error: CommanderError): {
  where: string;
  found: string;
  expected: string;
  remedy: string;
} {
  return {
    where: 'the command as typed',
    found: error.message.replace(/^error: /, ''),
    expected: 'a command with its options as --help lists them',
    remedy: 'correct the words and run it again',
  };
}

/** A folder that may not be written, a full disk: the system's refusal in words. Anything else is our fault. */
function refusedBySystem(error: unknown): CommandResult {
  const words = error instanceof Error && 'code' in error ? SYSTEM_WORDS[String(error.code)] : undefined;
  if (words === undefined) throw error;
  const path = error instanceof Error && 'path' in error ? ` "${String(error.path)}"` : '';
  const { found, remedy } = words;
  return refused(2, [
    { where: `the place${path}`, found, expected: 'a place that can be written to', remedy },
  ]);
}

const SYSTEM_WORDS: Readonly<Record<string, { readonly found: string; readonly remedy: string }>> = {
  EACCES: {
    found: 'no right to write there',
    remedy: 'choose a folder of your own; nothing was left half-written',
  },
  EPERM: {
    found: 'no right to write there',
    remedy: 'choose a folder of your own; nothing was left half-written',
  },
  EROFS: { found: 'a disk that can only be read', remedy: 'choose a folder on another disk' },
  ENOSPC: {
    found: 'a disk that is full',
    remedy: 'make room, then run the command again; nothing was left half-written',
  },
  EDQUOT: {
    found: 'no room left of what you may use',
    remedy: 'make room, then run the command again; nothing was left half-written',
  },
  EFBIG: { found: 'a file larger than this disk allows', remedy: 'choose a folder on another disk' },
  ELOOP: { found: 'a link that leads back to itself', remedy: 'give another name, or take the link away' },
  ENOTDIR: { found: 'a file where a folder should be', remedy: 'give another name' },
  ENAMETOOLONG: { found: 'a name that is too long for this disk', remedy: 'give a shorter name' },
};

function jsonText(value: unknown): string {
  return `${writtenOut(JSON.stringify(value, null, 2))}\n`;
}
