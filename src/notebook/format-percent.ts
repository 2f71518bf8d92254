import type { NotebookCell, ParsedNotebook } from './cell.ts';
import { type CellMarker, isMarkerLine, markerLine, mustBeEscaped, readMarkerLine } from './cell-marker.ts';

/** What {@link formatPercent} needs of a cell. */
export type WritableCell = Pick<NotebookCell, 'kind' | 'title' | 'metadata' | 'source'>;

/**
 * Writes a notebook as text in percent format: the inverse of `parsePercent`, so that reading what was written
 * gives the same cells, and writing what was read gives the same text where it was written in this form
 * (one blank line between cells, every cell with its marker line).
 *
 * Throws when a cell cannot be held by the format: code that ends in a blank line, a line of text that begins
 * with `%%`, a title that would be read as metadata.
 *
 * @example formatPercent({ header: '', cells: [{ kind: 'code', title: '', metadata: {}, source: '1 + 1' }] })
 * // '// %%\n1 + 1\n'
 */
export function formatPercent(notebook: {
  readonly header: ParsedNotebook['header'];
  readonly cells: readonly WritableCell[];
}): string {
  const blocks = notebook.cells.map((cell) => {
    const body = cell.source === '' ? [] : cell.source.split('\n');
    const lines = cell.kind === 'code' ? codeLines(body) : body.map(commentLine);
    return [readableMarkerLine(cell), ...lines].join('\n');
  });
  return `${[...(notebook.header === '' ? [] : [notebook.header]), ...blocks].join('\n\n')}\n`;
}

function codeLines(body: readonly string[]): string[] {
  if (body.at(-1)?.trim() === '')
    throw new Error(
      'formatPercent: a code cell ends in a blank line; take blank lines off the end of its source.',
    );
  return body.map((line) => (mustBeEscaped(line) ? `// ${line}` : line));
}

function commentLine(line: string): string {
  const comment = line === '' ? '//' : `// ${line}`;
  if (isMarkerLine(comment))
    throw new Error(`formatPercent: the text line "${line}" would start a cell; put a word before its %%.`);
  return comment;
}

function readableMarkerLine(marker: CellMarker): string {
  const line = markerLine(marker);
  const reading = readMarkerLine(line);
  if (!reading.valid || reading.marker.title !== marker.title || reading.marker.kind !== marker.kind)
    throw new Error(
      `formatPercent: the title "${marker.title}" would be read as something else; use plain words.`,
    );
  return line;
}
