import { scryptSync } from 'node:crypto';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { ImportProblem } from './import-problem.ts';
import type { Mapping } from './mapping.ts';
import { openFile } from './open-file.ts';
import type { SheetRow } from './sheet.ts';
import { sourceRows } from './source-rows.ts';

/**
 * By what a spreadsheet of which nothing may be kept is known again: a slow hash (scrypt, RFC 7914) of its SHA-256, so that
 * guesses at what stood in it are dear.
 *
 * @example erasedFingerprint(sha256Hex('a sheet')).length // 64
 */
export function erasedFingerprint(sourceHash: string): string {
  return scryptSync(sourceHash, 'proving-range: erased', 32, { N: 2 ** 15, r: 8, maxmem: 2 ** 26 }).toString(
    'hex',
  );
}

/**
 * Why a spreadsheet would bring back a golfer who was erased: it is one from which an erasure took rows, with these rows
 * still in it. Told by the rows that were left: they stand where they stood, with something again on the lines that were
 * emptied. A spreadsheet whose lines were moved since is not known again.
 *
 * @returns null where it brings nobody back
 */
export async function broughtBack(
  folder: string | null,
  log: string,
  { rows, sourceHash }: { readonly rows: Iterable<SheetRow>; readonly sourceHash: string },
  mapping: Mapping,
): Promise<ImportProblem | null> {
  if (folder === null) return null;
  let fingerprint: string | null = null;
  for (const { original, lines, fingerprint: known } of erasures(log)) {
    if (known !== null) {
      fingerprint ??= erasedFingerprint(sourceHash);
      if (fingerprint === known) return refusal(mapping, 'all of it', null);
    }
    if (original === null) continue;
    for (const ending of ['csv', 'xlsx']) {
      const bytes = await readFile(join(folder, `${original}.${ending}`)).catch(() => null);
      if (bytes === null) continue;
      const again = linesAgain(bytes, lines, rows, mapping);
      if (again.length > 0) return refusal(mapping, `line ${again.join(', ')}`, `${original}.${ending}`);
    }
  }
  return null;
}

function linesAgain(
  kept: Uint8Array,
  erased: readonly number[],
  rows: Iterable<SheetRow>,
  mapping: Mapping,
): readonly number[] {
  const opened = openFile(kept, 'original');
  const read = opened.ok ? sourceRows(opened.file, mapping.reading, 'original') : null;
  if (read?.ok !== true) return [];
  const given = new Map(Array.from(rows, (row) => [row.line, row.cells.join('\0')]));
  const left = [...read.source.rows].filter(({ line }) => line >= mapping.reading.first_line);
  const same = left.filter(({ line, cells }) => given.get(line) === cells.join('\0')).length;
  // A word may have been replaced in some of them.
  if (left.length === 0 || same < left.length / 2) return [];
  return erased.filter((line) => given.has(line));
}

function refusal(mapping: Mapping, where: string, original: string | null): ImportProblem {
  return {
    where: mapping.source.file,
    found: `rows that were erased from this dataset with the golfer they were of (${where})`,
    expected: 'a file without them',
    remedy: `Take these lines out of your file${original === null ? '' : `, or import ${original}, which is the file without them`}. Nothing was imported.`,
  };
}

interface Erased {
  readonly original: string | null;
  readonly lines: readonly number[];
  readonly fingerprint: string | null;
}

function erasures(log: string): readonly Erased[] {
  return log.split('\n').flatMap((line): Erased[] => {
    if (!line.includes('"erased')) return [];
    try {
      const entry = JSON.parse(line) as Record<string, unknown>;
      if (entry.what !== 'file') return [];
      const { original, erased_lines: lines, erased_source: fingerprint } = entry;
      return [
        {
          // Paths of the log are read, never believed.
          original:
            typeof original === 'string' && /^originals\/[0-9a-f]{64}$/.test(original) ? original : null,
          lines: Array.isArray(lines) ? lines.filter((one) => typeof one === 'number') : [],
          fingerprint: typeof fingerprint === 'string' ? fingerprint : null,
        },
      ];
    } catch {
      return [];
    }
  });
}
