import { readColumns, readTypedJson } from '../../dataset/index.ts';
import type { StudyProblem } from '../study.ts';

/** Angles as somebody published them, by row of the table of points (counted from 1). */
export interface PublishedAngles {
  /** Where they were published, as it is cited; '' where that is not said. */
  readonly source: string;
  readonly values: readonly PublishedAngle[];
}

/** One angle as it was printed, deg. */
export interface PublishedAngle {
  readonly row: number;
  /** Such as `flexion_deg`. */
  readonly angle: string;
  readonly value: number;
  /** Digits after the point as printed. */
  readonly decimals: number;
}

/** The published angles, or every problem of their file. */
export type ReadPublished =
  | { readonly ok: true; readonly published: PublishedAngles }
  | { readonly ok: false; readonly problems: readonly StudyProblem[] };

/**
 * Reads published angles: JSON `{ "source": "...", "angles": [{ "row": 1, "flexion_deg": 16.29 }, ...] }`, or a CSV with a
 * column `row` and a column for each angle. Cells without a number are left out; all else that is wrong is said at once.
 *
 * @param names the angles of the definition, such as `flexion_deg`; others are a problem in JSON and ignored in CSV
 * @example readPublished('p.csv', new TextEncoder().encode('row,angle_deg\n1,16.3\n'), ['angle_deg']).ok // true
 */
export function readPublished(file: string, bytes: Uint8Array, names: readonly string[]): ReadPublished {
  const text = new TextDecoder().decode(bytes);
  return /^\s*[[{]/.test(text) ? fromJson(file, bytes, names) : fromCsv(file, bytes, names);
}

function fromCsv(file: string, bytes: Uint8Array, names: readonly string[]): ReadPublished {
  const read = readColumns(file, bytes);
  if (!read.ok)
    return refuse(
      read.problems.map((problem) => ({
        ...problem,
        where: `${file}${problem.row === null ? '' : `, line ${problem.row}`}`,
      })),
    );
  const { row: rows, ...columns } = read.columns;
  const there = names.filter((name) => columns[name] !== undefined);
  if (rows === undefined || there.length === 0)
    return refuse([
      {
        where: file,
        found: `the columns ${Object.keys(read.columns).join(', ')}`,
        expected: `row, and one or more of ${names.join(', ')}`,
        remedy: 'Name the column with the row of the table of points `row`, and the angles as listed.',
      },
    ]);
  const cells = there.flatMap((angle) =>
    rows.flatMap((row, i) => {
      const printed = columns[angle]![i] ?? null;
      return printed === null ? [] : [{ angle, row, printed, where: `${file}, line ${i + 2}` }];
    }),
  );
  return checked(file, '', cells);
}

function fromJson(file: string, bytes: Uint8Array, names: readonly string[]): ReadPublished {
  const read = readTypedJson(bytes);
  if (!read.ok)
    return refuse([
      {
        where: file,
        found: read.found,
        expected: 'JSON, or a CSV with a column row',
        remedy: 'Look at the place named, and just before it, for a missing comma, quote or bracket.',
      },
    ]);
  const document = read.value as { source?: unknown; angles?: unknown };
  const entries = document.angles;
  if (!Array.isArray(entries) || entries.some((entry) => entry === null || typeof entry !== 'object'))
    return refuse([
      {
        where: file,
        found: 'no list `angles` of objects',
        expected: `{ "source": "...", "angles": [{ "row": 1, "${names[0]}": 16.3 }] }`,
        remedy: 'Write the angles so.',
      },
    ]);
  const unknown = [...new Set(entries.flatMap((entry) => Object.keys(entry as object)))].filter(
    (name) => name !== 'row' && !names.includes(name),
  );
  if (unknown.length > 0)
    return refuse([
      {
        where: file,
        found: unknown.join(', '),
        expected: `row, and one or more of ${names.join(', ')}`,
        remedy: 'Name the angles as listed, or ask for the definition that has them.',
      },
    ]);
  const cells = entries.flatMap((entry: Record<string, unknown>, i) =>
    names.flatMap((angle) =>
      entry[angle] === undefined || entry[angle] === null
        ? []
        : [{ angle, row: String(entry.row), printed: String(entry[angle]), where: `${file}, /angles/${i}` }],
    ),
  );
  return checked(file, typeof document.source === 'string' ? document.source : '', cells);
}

interface Cell {
  readonly angle: string;
  readonly row: string | null;
  readonly printed: string;
  readonly where: string;
}

function checked(file: string, source: string, cells: readonly Cell[]): ReadPublished {
  const problems: StudyProblem[] = [];
  const seen = new Set<string>();
  const values = cells.flatMap(({ angle, row, printed, where }): PublishedAngle[] => {
    const [at, value] = [Number(row ?? Number.NaN), Number(printed)];
    const twice = seen.has(`${at} ${angle}`);
    seen.add(`${at} ${angle}`);
    if (!Number.isInteger(at) || at < 1 || !Number.isFinite(value) || Math.abs(value) > 360 || twice) {
      problems.push({
        where,
        found: twice ? `row ${row} a second time` : `row ${row}, ${angle} ${printed}`,
        expected: 'a row counted from 1, each once, and an angle in degrees',
        remedy: 'Correct the cell, or leave it empty.',
      });
      return [];
    }
    return [{ row: at, angle, value, decimals: (/\.(\d+)$/.exec(printed.trim())?.[1] ?? '').length }];
  });
  if (problems.length === 0 && values.length === 0)
    problems.push({
      where: file,
      found: 'no angle',
      expected: 'one published angle or more',
      remedy: 'Write the published angles into it, or leave --published out.',
    });
  return problems.length > 0 ? refuse(problems) : { ok: true, published: { source, values } };
}

function refuse(problems: readonly StudyProblem[]): ReadPublished {
  return {
    ok: false,
    problems: problems.map(({ where, found, expected, remedy }) => ({ where, found, expected, remedy })),
  };
}
