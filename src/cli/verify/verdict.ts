import type { Difference } from '../../report/index.ts';
import type { CommandResult } from '../result.ts';

/** A file by name with its SHA-256 then and now; null where it was not, or is not, there. */
export interface ChangedInput {
  readonly file: string;
  readonly was: string | null;
  readonly now: string | null;
}

export interface ChangedVersion {
  readonly what: string;
  readonly was: string;
  readonly now: string;
}

/** What a report says now, set against what it said then. */
export interface Verification {
  readonly made: string;
  readonly inputs: readonly ChangedInput[];
  readonly versions: readonly ChangedVersion[];
  readonly differences: readonly Difference[];
  /** Files of the report that are not what would be written now, though no number moved in the Finding. */
  readonly files: readonly { readonly file: string; readonly words: string }[];
}

/** Differences told one by one; --json has all. */
const TOLD = 12;

/** Exit 0 where nothing differs, 1 where something does, and what, in words. */
export function verdictOf(found: Verification): CommandResult {
  const { inputs, versions, differences, files, made } = found;
  const identical = [inputs, versions, differences, files].every((list) => list.length === 0);
  const moved = differences.filter(({ kind }) => kind === 'number').sort((a, b) => rankOf(a) - rankOf(b));
  const words = differences.filter(({ kind }) => kind !== 'number');
  const json = { identical, inputs, versions, moved, words, files };
  if (identical) return { exit: 0, json, text: `Identical: ${made}.`, messages: [] };
  const parts = [
    'Not identical.',
    list('What it came from has changed', inputs.map(inputLine)),
    list(
      'Versions differ',
      versions.map(({ what, was, now }) => `${what}: ${was} then, ${now} now`),
    ),
    moved.length === 0
      ? 'No number moved.'
      : list(`${moved.length === 1 ? '1 number' : `${moved.length} numbers`} moved`, moved.map(movedLine)),
    list(
      `${words.length === 1 ? '1 text or entry differs' : `${words.length} texts or entries differ`}`,
      words.map(wordsLine),
    ),
    list(
      'Files differ',
      files.map(({ file, words: why }) => `${file}: ${why}`),
    ),
  ];
  return { exit: 1, json, text: parts.filter((part) => part !== '').join('\n\n'), messages: [] };
}

/** Estimates are told first, their values before their intervals; numbers that stand in a text last. */
function rankOf({ path, was, now }: Difference): number {
  if (typeof was === 'string' || typeof now === 'string') return 3;
  const estimate = /\bestimates\[[^\]]*\]\.(\w+)/.exec(path);
  if (estimate === null) return 2;
  return estimate[1] === 'value' ? 0 : 1;
}

function list(heading: string, lines: readonly string[]): string {
  if (lines.length === 0) return '';
  const rest = lines.length - TOLD;
  const told = rest > 1 ? [...lines.slice(0, TOLD), `and ${rest} more; --json lists all`] : lines;
  return [`${heading}:`, ...told.map((line) => `- ${line}`)].join('\n');
}

function inputLine({ file, was, now }: ChangedInput): string {
  if (was === null) return `${file} was not there then (SHA-256 ${short(now)} now)`;
  if (now === null) return `${file} is not there now (SHA-256 ${short(was)} then)`;
  return `${file} (SHA-256 ${short(was)} then, ${short(now)} now)`;
}

function movedLine({ path, was, now, by }: Difference): string {
  const how =
    by === null || !Number.isFinite(by) ? '' : `, by ${by > 0 ? '+' : ''}${Number(by.toPrecision(6))}`;
  return `${path}: ${was ?? 'none'} then, ${now ?? 'none'} now${how}`;
}

function wordsLine({ path, kind, was, now }: Difference): string {
  if (kind === 'gone') return `${path}: gone`;
  if (kind === 'new') return `${path}: new`;
  const [before, after] = fromWhereTheyPart(inWords(was), inWords(now));
  return `${path}: "${before}" then, "${after}" now`;
}

function inWords(value: unknown): string {
  return typeof value === 'string' ? value : JSON.stringify(value);
}

/** Two long texts from shortly before the place where they part. */
function fromWhereTheyPart(was: string, now: string): [string, string] {
  let start = 0;
  while (start < Math.min(was.length, now.length) && was[start] === now[start]) start += 1;
  const from = was.length <= 80 && now.length <= 80 ? 0 : Math.max(0, start - 20);
  const cut = (text: string): string =>
    `${from > 0 ? '…' : ''}${text.slice(from, from + 80)}${text.length > from + 80 ? '…' : ''}`;
  return [cut(was), cut(now)];
}

function short(hash: string | null): string {
  return `${(hash ?? '').slice(0, 12)}…`;
}

/** Files that differ between two lists of inputs. */
export function changedInputs(
  was: readonly { readonly file: string; readonly sha256: string }[],
  now: readonly { readonly file: string; readonly sha256: string }[],
): ChangedInput[] {
  const [before, after] = [was, now].map((files) => new Map(files.map(({ file, sha256 }) => [file, sha256])));
  return [...new Set([...before!.keys(), ...after!.keys()])]
    .sort()
    .filter((file) => before!.get(file) !== after!.get(file))
    .map((file) => ({ file, was: before!.get(file) ?? null, now: after!.get(file) ?? null }));
}
