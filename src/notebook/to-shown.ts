import { inspect } from 'node:util';
import type { Figure, FigureTable, MotionPicture } from '../report/index.ts';
import type { Finding } from '../studies/index.ts';
import type { Shown } from './child-events.ts';
import { MarkdownText } from './context.ts';

/** Rows of a table that are shown; the page says how many there are in all. */
const ROWS_SHOWN = 200;
const COLUMNS_SHOWN = 40;
const CHARACTERS_SHOWN = 20_000;

/** What to draw for a value: by its shape, so that a value from any copy of the package is recognised; null for undefined. */
export function toShown(value: unknown): Shown | null {
  if (value === undefined) return null;
  if (typeof value === 'string') return { kind: 'text', text: clip(value) };
  if (typeof value !== 'object' || value === null) return { kind: 'text', text: clip(inspected(value)) };
  if (value instanceof MarkdownText) return { kind: 'markdown', text: clip(value.text) };
  if (isFigure(value)) return { kind: 'figure', figure: value };
  if (isMotionPicture(value)) return { kind: 'motion', motion: value };
  if (isFinding(value)) return { kind: 'finding', finding: value };
  if (isFigureTable(value)) return columnsTable(value.columns, value.rows, value.rows.length);
  if (isArqueroTable(value)) return recordsTable(value.columnNames(), value.objects(), value.numRows());
  if (isListOfRecords(value)) return recordsTable(Object.keys(value[0] ?? {}), value, value.length);
  const json = Array.isArray(value) || isPlain(value) ? asJson(value) : undefined;
  const text = clip(inspected(value));
  return json === undefined ? { kind: 'text', text } : { kind: 'data', text, json };
}

function clip(text: string): string {
  const left = text.length - CHARACTERS_SHOWN;
  if (left <= 0) return text;
  return `${text.slice(0, CHARACTERS_SHOWN)}\n... ${left} more characters not shown`;
}

function inspected(value: unknown): string {
  return inspect(value, {
    depth: 4,
    maxArrayLength: 100,
    maxStringLength: 2000,
    breakLength: 80,
    sorted: false,
  });
}

/** Undefined where the value is no JSON, or longer than a reader wants. */
function asJson(value: unknown): unknown {
  try {
    const text = JSON.stringify(value);
    return text === undefined || text.length > CHARACTERS_SHOWN ? undefined : JSON.parse(text);
  } catch {
    return undefined;
  }
}

function recordsTable(names: readonly string[], records: readonly object[], rows: number): Shown {
  return columnsTable(
    names.map((name) => ({ key: name, label: name })),
    records,
    rows,
  );
}

function columnsTable(columns: FigureTable['columns'], records: readonly object[], rows: number): Shown {
  const shown = columns.slice(0, COLUMNS_SHOWN).map(({ key, label, unit }) => ({
    key: String(key),
    label: String(label),
    ...(unit === undefined ? {} : { unit: String(unit) }),
  }));
  const cells = (record: object) =>
    shown.map(({ key }) => [key, cellValue((record as Record<string, unknown> | null)?.[key])]);
  return {
    kind: 'table',
    table: {
      columns: shown,
      rows: records.slice(0, ROWS_SHOWN).map((row) => Object.fromEntries(cells(row))),
    },
    rows,
  };
}

function cellValue(value: unknown): string | number | null {
  if (value === null || value === undefined) return null;
  if (typeof value === 'string') return clip(value);
  if (typeof value === 'number') return Number.isFinite(value) ? value : String(value);
  if (value instanceof Date)
    return Number.isNaN(value.getTime()) ? 'no date' : value.toISOString().slice(0, 10);
  return clip(inspected(value));
}

function has<Key extends string>(value: object, ...keys: readonly Key[]): value is Record<Key, unknown> {
  return keys.every((key) => key in value);
}

function isFigure(value: object): value is Figure {
  return (
    has(value, 'id', 'title', 'caption', 'description', 'data', 'layout', 'table') &&
    Array.isArray(value.data)
  );
}

function isMotionPicture(value: object): value is MotionPicture {
  return (
    has(value, 'id', 'title', 'caption', 'description', 'extent', 'figures', 'moments', 'seconds') &&
    Array.isArray(value.figures) &&
    Array.isArray(value.moments)
  );
}

function isFinding(value: object): value is Finding {
  return (
    has(value, 'study', 'question', 'answer', 'verdict', 'estimates', 'provenance') &&
    Array.isArray(value.estimates)
  );
}

function isFigureTable(value: object): value is FigureTable {
  return (
    has(value, 'columns', 'rows') &&
    Array.isArray(value.columns) &&
    Array.isArray(value.rows) &&
    value.columns.every(
      (column) => typeof column === 'object' && column !== null && 'key' in column && 'label' in column,
    )
  );
}

interface ArqueroTable {
  columnNames(): string[];
  objects(): object[];
  numRows(): number;
}

function isArqueroTable(value: object): value is ArqueroTable {
  return (['columnNames', 'objects', 'numRows'] as const).every(
    (method) => typeof (value as Record<string, unknown>)[method] === 'function',
  );
}

function isPlain(value: unknown): value is Record<string, unknown> {
  if (typeof value !== 'object' || value === null) return false;
  const prototype: unknown = Object.getPrototypeOf(value);
  return prototype === Object.prototype || prototype === null;
}

/** One record or more, all with the same keys, all values single ones. */
function isListOfRecords(value: object): value is readonly Record<string, unknown>[] {
  if (!Array.isArray(value) || value.length === 0 || !isPlain(value[0])) return false;
  const keys = Object.keys(value[0]);
  if (keys.length === 0) return false;
  return value.every(
    (row) =>
      isPlain(row) &&
      Object.keys(row).length === keys.length &&
      keys.every(
        (key) =>
          key in row && (typeof row[key] !== 'object' || row[key] === null || row[key] instanceof Date),
      ),
  );
}
