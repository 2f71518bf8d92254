import { basename } from 'node:path';
import { transform } from 'esbuild';
import type { NotebookCell } from './cell.ts';
import { RECORDER } from './cell-recorder.ts';
import { checkCell, clashBetweenCells, type SyntaxFault, type TopStatement } from './cell-syntax.ts';
import { splitLines } from './parse-percent.ts';

/** The notebook as one module, ready to run: cells share scope, and each statement says where it is. */
export interface ModulePlan {
  /** JavaScript with an inline source map to the notebook's own lines. */
  readonly code: string;
  /** The modules that the notebook imports, in order. */
  readonly imports: readonly { readonly specifier: string; readonly line: number; readonly cell: number }[];
  /** The first fault of syntax; the module then holds only the cells above it. */
  readonly fault: SyntaxFault | null;
}

/**
 * Makes one module of a notebook's code cells. Lines stay where they are: what is added (the start of a cell,
 * the line of each statement, the value of a cell's last expression) goes into lines that exist, and the types
 * are taken off with a source map. A cell is checked by itself first, so a bracket left open is a fault of its
 * own cell; names are then checked across cells.
 *
 * @param path where the notebook stands, for its name in the source map
 */
export async function planModule(
  path: string,
  text: string,
  cells: readonly NotebookCell[],
): Promise<ModulePlan> {
  const lines = splitLines(text);
  const code = cells.flatMap((cell, index) => (cell.kind === 'code' ? [{ cell, index }] : []));
  const checked = code.map(({ cell, index }) => ({ cell, index, ...checkCell(cell, index) }));
  let fault = checked.find((entry) => entry.fault !== null)?.fault ?? null;
  for (;;) {
    const sound = checked.filter((entry) => fault === null || entry.index < fault.cell);
    const clash = clashBetweenCells(
      sound.map((entry) => entry.cell),
      cells,
    );
    if (clash !== null) {
      fault = clash;
      continue;
    }
    const typed = instrument(lines, sound, cells);
    const stripped = await stripTypes(path, typed);
    if (typeof stripped !== 'string') {
      const cell = Math.min(cellAtLine(cells, stripped.line), sound.at(-1)?.index ?? 0);
      fault = { cell, line: stripped.line, message: stripped.message };
      continue;
    }
    const imports = sound.flatMap(({ statements, index }) =>
      statements.flatMap((s) =>
        s.imports === null ? [] : [{ specifier: s.imports, line: s.line, cell: index }],
      ),
    );
    return { code: stripped, imports, fault };
  }
}

/** Index of the cell that holds a line of the notebook. */
export function cellAtLine(cells: readonly NotebookCell[], line: number): number {
  return Math.max(
    0,
    cells.findLastIndex((cell) => cell.markerLine <= line),
  );
}

interface SoundCell {
  readonly cell: NotebookCell;
  readonly index: number;
  readonly statements: readonly TopStatement[];
}

function instrument(
  lines: readonly string[],
  sound: readonly SoundCell[],
  all: readonly NotebookCell[],
): string {
  let name = '$cells';
  while (lines.some((line) => line.includes(name))) name = `$${name}`;
  const after = all[(sound.at(-1)?.index ?? -1) + 1];
  const kept = lines.slice(0, after === undefined ? lines.length : after.markerLine - 1);
  const insertions = new Map<number, { column: number; text: string }[]>();
  const insert = (line: number, column: number, text: string): void => {
    insertions.set(line, [...(insertions.get(line) ?? []), { column, text }]);
  };
  for (const { cell, index, statements } of sound) {
    const source = cell.source === '' ? [] : cell.source.split('\n');
    kept.splice(cell.firstLine - 1, source.length, ...source);
    insert(cell.markerLine, 0, `;await ${name}.begin(${index}); `);
    for (const statement of statements) {
      if (statement.runs) insert(statement.line, statement.column, `${name}.at(${statement.line}); `);
      if (statement.shows === null) continue;
      const { start, end } = statement.shows;
      insert(start.line, start.column, `${name}.result((`);
      insert(end.line, end.column, '))');
    }
  }
  const body = kept.map((line, i) => insertInto(line, insertions.get(i + 1) ?? []));
  body[0] = `const ${name} = globalThis[Symbol.for('${RECORDER}')]; ${body[0]?.startsWith('#!') === true ? '' : (body[0] ?? '')}`;
  return `${body.join('\n')}\n;await ${name}.end();\n`;
}

/** Puts texts into a line, keeping the order of those that share a column. */
function insertInto(line: string, insertions: readonly { column: number; text: string }[]): string {
  let result = '';
  let from = 0;
  for (const { column, text } of insertions) {
    result += line.slice(from, column) + text;
    from = column;
  }
  return result + line.slice(from);
}

async function stripTypes(path: string, typed: string): Promise<string | { line: number; message: string }> {
  try {
    const { code } = await transform(typed, {
      loader: 'ts',
      format: 'esm',
      target: 'node20',
      sourcefile: basename(path),
      sourcemap: 'inline',
      sourcesContent: false,
      logLevel: 'silent',
      tsconfigRaw: '{}',
    });
    return code;
  } catch (error) {
    const [first] =
      (error as { errors?: { text: string; location: { line: number } | null }[] }).errors ?? [];
    if (first?.location == null) throw error;
    return { line: first.location.line, message: first.text };
  }
}
