import type { CellKind, NotebookCell, NotebookProblem, ParsedNotebook } from './cell.ts';
import { type CellMarker, isMarkerLine, mustBeEscaped, readMarkerLine } from './cell-marker.ts';

/** A notebook taken apart, with the faults of its form. */
export interface PercentReading extends ParsedNotebook {
  /** Every fault of the format at once; empty where the notebook can be run. */
  readonly problems: readonly NotebookProblem[];
}

const CODE: CellMarker = { kind: 'code', title: '', metadata: {} };

/**
 * Reads a notebook in percent format: a .ts file whose cells start at `// %%` (code) or `// %% [markdown]`
 * (text, every line a comment), with an optional title and metadata on that line. Code above the first marker
 * is a code cell without a marker. A code line that only looks like a marker is written with a further `// `
 * before it, which is taken off here. Line ends become `\n`. Faults are values, all of them at once; what is
 * at fault is still read as well as it can be.
 *
 * @example parsePercent('// %% [markdown]\n// # Lag\n\n// %%\n1 + 1\n').cells.map((cell) => cell.source)
 * // ['# Lag', '1 + 1']
 * @see https://jupytext.readthedocs.io/en/latest/formats-scripts.html
 */
export function parsePercent(text: string): PercentReading {
  const lines = splitLines(text);
  const headerLines = headerLength(lines);
  const header = lines.slice(0, headerLines).join('\n');
  const problems: NotebookProblem[] = [];
  const cells = cellSpans(lines, headerLines).flatMap((span): NotebookCell[] => {
    const body = withoutBlankEnd(lines.slice(span.bodyStart, span.end));
    if (span.markerAt === null) {
      const first = body.findIndex((line) => line.trim() !== '');
      if (first < 0) return [];
      const line = span.bodyStart + first + 1;
      return [{ ...CODE, source: unescapeCode(body.slice(first)), markerLine: line, firstLine: line }];
    }
    const reading = readMarkerLine(lines[span.markerAt] ?? '');
    if (!reading.valid)
      problems.push({
        where: 'the notebook',
        line: span.markerAt + 1,
        found: reading.found,
        expected: reading.expected,
        remedy: 'write the line as // %% Title [markdown] tags=["word"], leaving out the parts not needed',
      });
    const marker = reading.valid ? reading.marker : CODE;
    if (marker.kind !== 'code') problems.push(...strayCode(body, span.bodyStart, marker.kind));
    return [
      {
        ...marker,
        source: marker.kind === 'code' ? unescapeCode(body) : body.map(uncomment).join('\n'),
        markerLine: span.markerAt + 1,
        firstLine: span.bodyStart + 1,
      },
    ];
  });
  if (cells.length === 0)
    problems.push({
      where: 'the notebook',
      line: null,
      found: 'no cell',
      expected: 'one cell or more',
      remedy: 'start each code cell with a line // %% and each text cell with a line // %% [markdown]',
    });
  return { header, cells, problems };
}

/** The lines of a notebook's text: a byte-order mark taken off, any kind of line end, no last empty line. */
export function splitLines(text: string): string[] {
  const lines = text.replace(/^\uFEFF/, '').split(/\r\n|\r|\n/);
  if (lines.at(-1) === '') lines.pop();
  return lines;
}

interface Span {
  readonly markerAt: number | null;
  readonly bodyStart: number;
  readonly end: number;
}

function cellSpans(lines: readonly string[], from: number): Span[] {
  const markers = lines.flatMap((line, at) => (at >= from && isMarkerLine(line) ? [at] : []));
  const unmarked: Span = { markerAt: null, bodyStart: from, end: markers[0] ?? lines.length };
  return [
    unmarked,
    ...markers.map((at, i) => ({ markerAt: at, bodyStart: at + 1, end: markers[i + 1] ?? lines.length })),
  ];
}

/** Number of lines at the very top that are no cell: a `#!` line, and a commented YAML block (`// ---` to `// ---`). */
function headerLength(lines: readonly string[]): number {
  const start = lines[0]?.startsWith('#!') === true ? 1 : 0;
  if (lines[start]?.trim() !== '// ---') return start;
  const close = lines.findIndex((line, at) => at > start && line.trim() === '// ---');
  const all = lines.slice(start, close + 1).every((line) => line.startsWith('//'));
  return close > start && all ? close + 1 : start;
}

function withoutBlankEnd(lines: readonly string[]): readonly string[] {
  const last = lines.findLastIndex((line) => line.trim() !== '');
  return lines.slice(0, last + 1);
}

function uncomment(line: string): string {
  return line.replace(/^\s*\/\/ ?/, '');
}

function unescapeCode(lines: readonly string[]): string {
  return lines.map(unescapeLine).join('\n');
}

/** `// // %%` in a code cell stands for a comment `// %%` that is no marker. */
function unescapeLine(line: string): string {
  return line.startsWith('// ') && mustBeEscaped(line.slice(3)) ? line.slice(3) : line;
}

function strayCode(body: readonly string[], start: number, kind: CellKind): NotebookProblem[] {
  const at = body.findIndex((line) => line.trim() !== '' && !/^\s*\/\//.test(line));
  if (at < 0) return [];
  return [
    {
      where: 'the notebook',
      line: start + at + 1,
      found: `a line in a ${kind} cell that is not a comment`,
      expected: 'every line of a text cell to begin with //',
      remedy: 'put // before the line, or start a code cell above it with // %%',
    },
  ];
}
