import { readFile, realpath } from 'node:fs/promises';
import { extname } from 'node:path';
import { readCapture, writeC3d, writeCsvCapture } from '../../kinematics/index.ts';
import { csvLine } from '../csv-write.ts';
import { CURVE_INSTANTS_FILE, CURVES_FILE } from '../curves/curve-set.ts';
import type { Dataset } from '../dataset.ts';
import { sha256Hex } from '../hash.ts';
import { codeOf } from '../new-files.ts';
import { fileInside } from '../read/inside.ts';
import { keyPlaces } from './key-columns.ts';
import type { Codes } from './recode.ts';
import { cellsOf, recordsOf } from './records.ts';
import { textOf } from './text-of.ts';

/** curves.csv and curve-instants.csv under the new ids; rows of swings without a code are left out. */
export async function recodedCurves(folder: string, codes: Codes): Promise<ReadonlyMap<string, string>> {
  const files = new Map<string, string>();
  for (const [file, columns] of [
    [CURVES_FILE, ['swing_id', 'quantity', 'time_pct', 'value_deg']],
    [CURVE_INSTANTS_FILE, ['swing_id', 'instant', 'time_pct']],
  ] as const) {
    const bytes = await bytesInside(folder, file);
    if (bytes === null) continue;
    const [header, ...records] = recordsOf(textOf(bytes).text);
    const names = cellsOf((header ?? '').replace(/^\uFEFF/, '')).map((name) => name.trim());
    const swing = keyPlaces(header).get('swing_id');
    if (swing === undefined) continue;
    const places = columns.map((column) => names.indexOf(column));
    const rows = records.flatMap((record, index) => {
      const cells = cellsOf(record);
      const code = codes.swings.get((cells[swing] ?? '').trim());
      return code === undefined ? [] : [{ code, index, line: places.map((place) => cells[place] ?? '') }];
    });
    rows.sort((a, b) => (a.code === b.code ? a.index - b.index : a.code < b.code ? -1 : 1));
    files.set(
      file,
      [columns, ...rows.map(({ code, line }) => [code, ...line.slice(1)])].map(csvLine).join(''),
    );
  }
  return files;
}

/** A row of captures.csv under its new id. */
export type RecodedCapture = readonly [swing: string, file: string, sha256: string, layout: string];

export interface RecodedCaptures {
  readonly captures: readonly RecodedCapture[];
  readonly layouts: ReadonlyMap<string, string>;
  /** Captures that could not be read, or are larger than 2 GiB, and so could not be freed of what they say. */
  readonly unread: readonly string[];
}

/**
 * Captures and their layouts with nothing but positions: a C3D file is written anew from its frames, so that its names,
 * notes, dates, devices and force data go. A label stays where the layout names it, without what stands before a colon (the
 * name of the person, as many systems write it); other points become P1, P2 and so on. Each is handed to `put` as it is made, so
 * that one at a time is held.
 */
export async function recodedCaptures(
  folder: string,
  dataset: Dataset,
  codes: Codes,
  put: (path: string, content: Uint8Array) => Promise<void>,
): Promise<RecodedCaptures> {
  const { captures } = dataset.tables;
  const columns = (['swing_id', 'file', 'layout'] as const).map((name) => captures.text(name));
  const layouts = new Map<
    string,
    { readonly path: string; readonly text: string; readonly words: ReadonlySet<string> }
  >();
  const made: RecodedCapture[] = [];
  const unread: string[] = [];
  const perSwing = new Map<string, number>();
  for (let row = 0; row < captures.length; row += 1) {
    const [swing, file, layoutFile] = columns.map((column) => column[row] ?? '') as [string, string, string];
    const code = codes.swings.get(swing);
    if (code === undefined) continue;
    if (layoutFile !== '' && !layouts.has(layoutFile)) {
      const bytes = await bytesInside(folder, layoutFile);
      if (bytes !== null)
        layouts.set(layoutFile, { path: `layouts/layout-${layouts.size + 1}.json`, ...plainLayout(bytes) });
    }
    const layout = layouts.get(layoutFile);
    const bytes = await bytesInside(folder, file);
    const content = bytes === null ? null : withoutTexts(bytes, file, layout?.words ?? new Set());
    if (content === null) {
      unread.push(file);
      continue;
    }
    const count = (perSwing.get(code) ?? 0) + 1;
    perSwing.set(code, count);
    const path = `captures/${code}${count === 1 ? '' : `-${count}`}${extname(file).toLowerCase() === '.c3d' ? '.c3d' : '.csv'}`;
    made.push([code, path, sha256Hex(content), layout?.path ?? '']);
    await put(path, content);
  }
  made.sort((a, b) => (a[1] < b[1] ? -1 : 1));
  return {
    captures: made,
    layouts: new Map([...layouts.values()].map(({ path, text }) => [path, text])),
    unread,
  };
}

function withoutTexts(bytes: Uint8Array, file: string, words: ReadonlySet<string>): Uint8Array | null {
  const read = readCapture(bytes, file);
  if (!read.ok) return null;
  const { capture, format } = read.value;
  const { coordinates, firstFrame, rateHz, unit } = capture;
  const labels = capture.labels.map((label, point) => {
    const plain = plainLabel(label);
    return words.has(plain) ? plain : `P${point + 1}`;
  });
  const known = (['m', 'cm', 'mm', 'in'] as const).find((name) => name === unit);
  const common = { labels, coordinates, firstFrame, ...(known === undefined ? {} : { unit: known }) };
  try {
    if (format === 'CSV') return Buffer.from(writeCsvCapture({ ...common, rateHz: rateHz ?? 0 }), 'utf8');
    const events = capture.events.filter(({ label }) => words.has(label));
    return writeC3d({
      ...common,
      rateHz: rateHz ?? 0,
      ...(events.length === 0
        ? {}
        : { groupEvents: events.map(({ label, time_s }) => ({ label, context: '', time_s })) }),
    });
  } catch {
    // What cannot be written anew cannot be freed of its texts.
    return null;
  }
}

function plainLabel(label: string): string {
  return label.slice(label.lastIndexOf(':') + 1).trim();
}

/** A layout without its note and without names before the labels, and the words it uses. */
function plainLayout(bytes: Uint8Array): { readonly text: string; readonly words: ReadonlySet<string> } {
  const words = new Set<string>();
  const visit = (node: unknown, name: string): unknown => {
    if (typeof node === 'string') {
      words.add(plainLabel(node));
      return plainLabel(node);
    }
    if (Array.isArray(node)) return node.map((entry) => visit(entry, name));
    if (typeof node !== 'object' || node === null) return node;
    return Object.fromEntries(
      Object.entries(node)
        .filter(([key]) => key !== 'note' && key !== '__proto__')
        .map(([key, value]) => [key, visit(value, key)]),
    );
  };
  try {
    const plain = visit(JSON.parse(textOf(bytes).text.replace(/^\uFEFF/, '')), '');
    return { text: `${JSON.stringify(plain, null, 2)}\n`, words };
  } catch {
    return { text: '{}\n', words };
  }
}

/** The bytes of a file inside the folder; null where it is absent, leads out of the folder or cannot be read. */
async function bytesInside(folder: string, path: string): Promise<Uint8Array | null> {
  const inside = await fileInside(await realpath(folder), path);
  if (!('path' in inside)) return null;
  try {
    return await readFile(inside.path);
  } catch (error) {
    if (['EACCES', 'EISDIR', 'ENOENT', 'ERR_FS_FILE_TOO_LARGE'].includes(codeOf(error))) return null;
    throw error;
  }
}

export const captureTable = (captures: readonly RecodedCapture[]): string =>
  [['swing_id', 'file', 'sha256', 'layout'], ...captures].map(csvLine).join('');
