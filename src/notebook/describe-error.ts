import { fileURLToPath } from 'node:url';
import { inspect } from 'node:util';
import type { CellError } from './child-events.ts';

/** Frames kept of a call within the notebook. */
const TRAIL = 5;

/**
 * An error, or whatever was thrown, in words for a reader of the notebook: its own message, the notebook's line
 * nearest to it, and the way there within the notebook. Frames of other files are left out.
 *
 * @param url the notebook's URL, as it stands in stack frames
 * @param line the line of the statement under way, for a thrown value without a stack
 */
export function describeError(thrown: unknown, url: string, line: number | null): CellError {
  const frames = framesIn(stackOf(thrown), url);
  const steps = frames.filter((frame, i) => frame.line !== frames[i - 1]?.line);
  const shortTrail = steps
    .slice(0, TRAIL)
    .map(({ where, line }) => `line ${line}${where === '' ? '' : `, in ${where}`}`);
  const more = steps.length - shortTrail.length;
  return {
    ...nameAndMessage(thrown, url),
    line: frames[0]?.line ?? line,
    trail: more > 0 ? [...shortTrail, `and ${more} more`] : shortTrail,
  };
}

function nameAndMessage(thrown: unknown, url: string): { name: string; message: string } {
  if (!(thrown instanceof Error))
    return { name: 'Thrown value', message: safely(() => inspect(thrown, { depth: 2 })) };
  const name = safely(() => String(thrown.name)) || 'Error';
  const own = safely(() => String(thrown.message));
  const causes: string[] = [];
  let cause: unknown = safely(() => thrown.cause);
  for (let depth = 0; depth < 3 && cause !== undefined && cause !== ''; depth++) {
    const current = cause;
    causes.push(
      safely(() => (current instanceof Error ? `${current.name}: ${current.message}` : inspect(current))),
    );
    cause = current instanceof Error ? safely(() => current.cause) : undefined;
  }
  const message = [own, ...causes.map((words) => `caused by ${words}`)].join('\n');
  return { name, message: withoutFolder(message, url) };
}

/** The notebook's own folder is taken out of a message, which may be shared; the file's name stays. */
function withoutFolder(message: string, url: string): string {
  const folder = new URL('.', url);
  return message.replaceAll(folder.href, '').replaceAll(fileURLToPath(folder), '');
}

function stackOf(thrown: unknown): string {
  return safely(() => (thrown instanceof Error ? String(thrown.stack) : ''));
}

function framesIn(stack: string, url: string): { where: string; line: number }[] {
  const path = fileURLToPath(url);
  return stack.split('\n').flatMap((text) => {
    if (!/^\s+at /.test(text)) return [];
    const place = [url, path].find((known) => text.includes(`${known}:`));
    if (place === undefined) return [];
    const line = Number.parseInt(text.slice(text.indexOf(`${place}:`) + place.length + 1), 10);
    const where = /^\s+at (?:async )?(.+?) \(/.exec(text)?.[1] ?? '';
    return Number.isNaN(line) ? [] : [{ where: /^(?:file:|<|null$)/.test(where) ? '' : where, line }];
  });
}

/** A thrown value may do anything when looked at; looking must not throw. */
function safely<T>(look: () => T): T | string {
  try {
    return look();
  } catch {
    return 'a value that cannot be shown';
  }
}
