import type { Given } from './command.ts';
import { type CommandResult, refused } from './result.ts';

type Folder =
  | { readonly ok: true; readonly path: string }
  | { readonly ok: false; readonly result: CommandResult };

/** The one folder a command works on, given as the first word or by its option. */
export function folderGiven(given: Given, option: string): Folder {
  const word = given.arguments[0];
  const named = textOption(given, option);
  if (word !== undefined && named !== undefined && word !== named)
    return wrong(`"${word}" and --${option} "${named}"`, 'one folder', 'give the folder once');
  const path = word ?? named;
  if (path === undefined || path === '')
    return wrong('no folder', 'the name of a folder', 'write the folder after the command');
  return { ok: true, path };
}

/** The text of an option, or undefined where it was not typed. */
export function textOption(given: Given, name: string): string | undefined {
  const value = given.options[name];
  return typeof value === 'string' ? value : undefined;
}

function wrong(found: string, expected: string, remedy: string): Folder {
  return { ok: false, result: refused(2, [{ where: 'the folder', found, expected, remedy }]) };
}
