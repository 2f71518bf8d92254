import { type OxcError, parseSync } from 'oxc-parser';
import type { NotebookCell } from './cell.ts';

/** Code that cannot be read, where the notebook says it. */
export interface SyntaxFault {
  readonly cell: number;
  readonly line: number;
  readonly message: string;
}

interface Place {
  /** Line of the notebook, from 1, and column in it, from 0. */
  readonly line: number;
  readonly column: number;
}

/** A statement of a cell's own level. */
export interface TopStatement extends Place {
  /** Whether it does something when reached: imports, types and functions do not. */
  readonly runs: boolean;
  /** The module it imports from, or null. */
  readonly imports: string | null;
  /** Where the expression stands whose value the cell shows, or null. */
  readonly shows: { readonly start: Place; readonly end: Place } | null;
}

const STILL = new Set([
  'ImportDeclaration',
  'ExportNamedDeclaration',
  'ExportAllDeclaration',
  'FunctionDeclaration',
  'TSInterfaceDeclaration',
  'TSTypeAliasDeclaration',
  'TSDeclareFunction',
  'EmptyStatement',
]);
/** `x = 1` and `i++` are steps of the work, not results to be read. */
const SHOWS_NOTHING = new Set(['AssignmentExpression', 'UpdateExpression']);

/** Reads one code cell by itself: its statements, or the first fault. */
export function checkCell(
  cell: NotebookCell,
  index: number,
): { statements: readonly TopStatement[]; fault: SyntaxFault | null } {
  const { program, errors } = parse(cell.source, false);
  const error = errors[0];
  if (error !== undefined)
    return { statements: [], fault: { cell: index, ...placed(error, cell.source, cell.firstLine) } };
  const place = (offset: number): Place => placeAt(cell.source, offset, cell.firstLine);
  const last = program.body.at(-1);
  const statements = program.body.map((node): TopStatement => {
    const shows =
      node === last && node.type === 'ExpressionStatement' && !SHOWS_NOTHING.has(node.expression.type)
        ? { start: place(node.expression.start), end: place(node.expression.end) }
        : null;
    const imports =
      node.type === 'ImportDeclaration' && node.importKind !== 'type' ? String(node.source.value) : null;
    return { ...place(node.start), runs: !STILL.has(node.type), imports, shows };
  });
  return { statements, fault: null };
}

/**
 * What is wrong only when cells stand together, such as a name declared twice; null where nothing is.
 * `among` are the code cells looked at, `all` the whole notebook.
 */
export function clashBetweenCells(
  among: readonly NotebookCell[],
  all: readonly NotebookCell[],
): SyntaxFault | null {
  const text = among.map((cell) => cell.source).join('\n');
  const error = parse(text, true).errors[0];
  if (error === undefined) return null;
  const offset = Math.max(0, ...error.labels.map((label) => label.start));
  let line = text.slice(0, offset).split('\n').length;
  for (const cell of among) {
    const length = cell.source.split('\n').length;
    if (line <= length)
      return { cell: all.indexOf(cell), line: cell.firstLine + line - 1, message: inWords(error) };
    line -= length;
  }
  throw new Error('clashBetweenCells: a fault outside every cell; report this with the notebook.');
}

function parse(text: string, semantic: boolean): ReturnType<typeof parseSync> {
  return parseSync('cell.ts', text, { lang: 'ts', sourceType: 'module', showSemanticErrors: semantic });
}

function placed(error: OxcError, source: string, firstLine: number): { line: number; message: string } {
  return { line: placeAt(source, error.labels[0]?.start ?? 0, firstLine).line, message: inWords(error) };
}

function placeAt(source: string, offset: number, firstLine: number): Place {
  const before = source.slice(0, offset).split('\n');
  return { line: firstLine + before.length - 1, column: before.at(-1)?.length ?? 0 };
}

function inWords(error: OxcError): string {
  const message = error.message.replace(/^TS\(\d+\): /, '');
  return error.helpMessage === null ? message : `${message} (${error.helpMessage})`;
}
