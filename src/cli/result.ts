import { withinLine } from './terminal-text.ts';

/** What a command hands back: nothing is printed before the work is over, so a document is whole or absent. */
export interface CommandResult {
  /** 0 good, 1 the data or the fit has a problem, 2 the request is wrong. */
  readonly exit: 0 | 1 | 2;
  /** The one document that --json puts on stdout. */
  readonly json: unknown;
  /** What a person reads on stdout. */
  readonly text: string;
  /** What a person should also know; goes to stderr. */
  readonly messages: readonly string[];
}

/** A fault in the request or the data, in the words every command uses. */
export interface Fault {
  readonly where: string;
  readonly found: string;
  readonly expected: string;
  readonly remedy: string;
}

/** One fault as a sentence or two a coach can act on. */
export function faultInWords(fault: Fault): string {
  const expected = fault.expected === '' ? '' : ` Expected: ${endWithStop(fault.expected)}`;
  return withinLine(
    `${fault.where}: found ${endWithStop(fault.found)}${expected} What to do: ${endWithStop(fault.remedy)}`,
  );
}

function endWithStop(text: string): string {
  return /[.!?]$/.test(text) ? text : `${text}.`;
}

export function good(json: unknown, text: string, messages: readonly string[] = []): CommandResult {
  return { exit: 0, json, text, messages };
}

/** The command could not do what was asked: every fault at once, on stderr in words and in the document. */
export function refused(exit: 1 | 2, faults: readonly Fault[]): CommandResult {
  return { exit, json: { problems: faults }, text: '', messages: faults.map(faultInWords) };
}
