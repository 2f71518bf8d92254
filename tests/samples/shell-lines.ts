import { shellWords } from '../../src/dataset/index.ts';

/** One command as a document prints it. */
export interface ShellCommand {
  readonly line: number;
  readonly words: readonly string[];
  /** Where its output goes, after `>`. */
  readonly into: string | null;
}

/**
 * The commands of a block, each `&&` apart. Only words, comments, `\` at the end of a line, `&&` and `> FILE` are known:
 * a sample that needs more of a shell is for a script, and refused here.
 */
export function shellCommands(text: string, firstLine: number): readonly ShellCommand[] {
  const commands: ShellCommand[] = [];
  let begun: { line: number; text: string } | null = null;
  for (const [index, printed] of text.split('\n').entries()) {
    const line: { line: number; text: string } = {
      line: begun?.line ?? firstLine + index,
      text: `${begun?.text ?? ''}${printed.replace(/(^|\s)#.*$/, '').trim()}`,
    };
    begun = line.text.endsWith('\\') ? { ...line, text: `${line.text.slice(0, -1).trim()} ` } : null;
    if (begun !== null || line.text === '') continue;
    for (const part of line.text.split('&&')) commands.push(oneCommand(part, line.line));
  }
  if (begun !== null) throw new Error(`line ${begun.line}: nothing follows the backslash`);
  return commands;
}

function oneCommand(text: string, line: number): ShellCommand {
  const [command, into, ...more] = text.split('>').map((part) => part.trim());
  if (command === '' || more.length > 0 || into === '' || /[|;$`*?~"<]/.test(text))
    throw new Error(`line ${line}: "${text}" is more than words, && and > FILE; write it plainly`);
  return { line, words: shellWords(command!), into: into ?? null };
}
