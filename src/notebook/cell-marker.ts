import type { CellKind } from './cell.ts';

/** The first line of a cell taken apart: `// %% Title [markdown] tags=["intro"]`. */
export interface CellMarker {
  readonly kind: CellKind;
  readonly title: string;
  readonly metadata: Readonly<Record<string, unknown>>;
}

export type MarkerReading =
  | { readonly valid: true; readonly marker: CellMarker }
  | { readonly valid: false; readonly found: string; readonly expected: string };

const MARKER = /^\s*\/\/\s*%%(%*)(?:\s+(.*))?$/;
const TYPE = /(?:^|\s)\[([^\]]*)\]$/;
const KEY = /^[A-Za-z0-9_.-]+$/;
const KINDS: Readonly<Record<string, CellKind>> = { markdown: 'markdown', md: 'markdown', raw: 'raw' };

/** Whether a line starts a cell. */
export function isMarkerLine(line: string): boolean {
  return MARKER.test(line);
}

/** A code line that would be read as a marker, or as an escaped one: it is written with a further `// `. */
export function mustBeEscaped(line: string): boolean {
  return isMarkerLine(line) || (line.startsWith('// ') && mustBeEscaped(line.slice(3)));
}

/**
 * Takes a marker line apart, as jupytext's percent format lays it down: an optional title, an optional type in
 * square brackets, then `key=value` pairs whose values are JSON, or one JSON object. `[md]` is kept as the
 * metadata `region_name`, and a deeper cell (`%%%`) as `cell_depth`, so that the line can be written again.
 *
 * @example readMarkerLine('// %% The data [markdown] tags=["intro"]')
 * // { valid: true, marker: { kind: 'markdown', title: 'The data', metadata: { tags: ['intro'] } } }
 * @see https://jupytext.readthedocs.io/en/latest/formats-scripts.html
 */
export function readMarkerLine(line: string): MarkerReading {
  const match = MARKER.exec(line);
  if (match === null) throw new Error('readMarkerLine: not a marker line; ask isMarkerLine first.');
  const depth = match[1]?.length ?? 0;
  const split = splitMetadata((match[2] ?? '').trim());
  if (split === null)
    return {
      valid: false,
      found: `"${line.trim()}"`,
      expected: 'a title, a type in square brackets, then key=value pairs whose values are JSON',
    };
  const type = TYPE.exec(split.head);
  const kind = type === null ? 'code' : KINDS[type[1] ?? ''];
  if (kind === undefined)
    return {
      valid: false,
      found: `the cell type [${type?.[1]}]`,
      expected: '[markdown], [md] or [raw]; a code cell has no type',
    };
  const metadata = {
    ...split.metadata,
    ...(type?.[1] === 'md' ? { region_name: 'md' } : {}),
    ...(depth > 0 ? { cell_depth: depth } : {}),
  };
  const fault = faultInTags(metadata);
  if (fault !== null) return { valid: false, ...fault };
  const title = (type === null ? split.head : split.head.slice(0, type.index)).trim();
  return { valid: true, marker: { kind, title, metadata } };
}

/** The marker line of a cell: the inverse of {@link readMarkerLine}. */
export function markerLine({ kind, title, metadata }: CellMarker): string {
  const { region_name: regionName, cell_depth: depth, ...pairs } = metadata;
  const type = kind === 'code' ? '' : `[${regionName === 'md' ? 'md' : kind}]`;
  const percents = `%%${'%'.repeat(typeof depth === 'number' ? depth : 0)}`;
  const words = Object.entries(pairs).map(([key, value]) => `${key}=${JSON.stringify(value)}`);
  return ['//', percents, title, type, ...words].filter((word) => word !== '').join(' ');
}

/** Head and pairs, the pairs starting at the first word from which all the rest can be read; null if none can. */
function splitMetadata(text: string): { head: string; metadata: Record<string, unknown> } | null {
  for (const start of wordStarts(text)) {
    const metadata = readPairs(text.slice(start));
    if (metadata !== null) return { head: text.slice(0, start).trim(), metadata };
  }
  return /[={]/.test(text) ? null : { head: text, metadata: {} };
}

function wordStarts(text: string): number[] {
  return [...text.matchAll(/\S+/g)].map((word) => word.index);
}

function readPairs(text: string): Record<string, unknown> | null {
  if (text.startsWith('{')) {
    const whole = parseJson(text);
    return isRecord(whole) ? whole : null;
  }
  const pairs: Record<string, unknown> = {};
  let rest = text;
  while (rest !== '') {
    const equals = rest.indexOf('=');
    const key = rest.slice(0, Math.max(equals, 0));
    if (!KEY.test(key) || key === '__proto__') return null;
    const value = readValue(rest.slice(equals + 1));
    if (value === null) return null;
    pairs[key] = value.value;
    rest = value.rest;
  }
  return pairs;
}

/** The shortest JSON value that ends where a pair may end: before a further `key=`, or at the end. */
function readValue(text: string): { value: unknown; rest: string } | null {
  const ends = [...text.matchAll(/\s+(?=[A-Za-z0-9_.-]+=)|$/g)];
  for (const end of ends) {
    const value = parseJson(text.slice(0, end.index));
    if (value !== undefined) return { value, rest: text.slice(end.index).trim() };
  }
  return null;
}

function parseJson(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/** What the notebook format asks of tags and names: unique strings without commas; a name that is not empty. */
function faultInTags(
  metadata: Readonly<Record<string, unknown>>,
): { found: string; expected: string } | null {
  const { tags, name } = metadata;
  if (tags !== undefined) {
    const good =
      Array.isArray(tags) &&
      tags.every((tag) => typeof tag === 'string' && /^[^,]+$/.test(tag)) &&
      new Set(tags).size === tags.length;
    if (!good)
      return { found: `tags=${JSON.stringify(tags)}`, expected: 'a list of different words without commas' };
  }
  if (name !== undefined && !(typeof name === 'string' && /^.+$/.test(name)))
    return { found: `name=${JSON.stringify(name)}`, expected: 'one or more letters in quotes' };
  return null;
}
