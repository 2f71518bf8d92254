import type { CaptureProblem } from '../problem.ts';

export interface ColumnPlan {
  readonly frame: number | null;
  readonly time: { readonly index: number; readonly perSecond: number } | null;
  /** Long form: one row is one marker of one frame. */
  readonly label: number | null;
  /** Columns of x, y, z of each marker; in long form of the one marker that a row holds. */
  readonly markers: readonly {
    readonly label: string;
    readonly columns: readonly [number, number, number];
  }[];
  readonly unit: string | null;
}

const FRAME = /^frame(s|_?(no|number|nr))?$/i;
const TIME = /^t(ime)?(?:[ _]*[([]?(s|sec|seconds|ms|milliseconds)[)\]]?)?$/i;
const LABEL = /^(marker|label|point|landmark)(_?name)?$/i;
const UNIT = '(?:[ _]*[([]?(mm|cm|m|in)[)\\]]?)?';
const COORDINATE = new RegExp(`^(.+?)[ _.:-]([xyz])${UNIT}$`, 'i');
const BARE_COORDINATE = new RegExp(`^([xyz])${UNIT}$`, 'i');

/**
 * The marker whose coordinate a column holds, or null for any other column.
 *
 * @example markerOfColumn('C7_x') // 'C7'
 */
export function markerOfColumn(column: string): string | null {
  return COORDINATE.exec(column.trim())?.[1] ?? null;
}

/**
 * Understands the header of a capture table, whatever the order of its columns: wide (`NAME_x`, `NAME_y`, `NAME_z` for
 * every marker) or long (a column of marker names and x, y, z), with `frame` and `time` where there are any. A unit
 * may follow the axis: `NAME_x_mm`, `x (m)`.
 */
export function planColumns(header: readonly string[]): ColumnPlan | readonly CaptureProblem[] {
  const problems: CaptureProblem[] = [];
  const names = header.map((name) => name.trim());
  const found = new Map<string, (number | null)[]>();
  const units = new Set<string>();
  const index = { frame: null as number | null, label: null as number | null };
  let time = null as ColumnPlan['time'];
  const place = (marker: string, axis: string, unit: string | undefined, at: number): void => {
    if (unit) units.add(unit.toLowerCase());
    const columns = found.get(marker) ?? [null, null, null];
    const k = 'xyz'.indexOf(axis.toLowerCase());
    if (columns[k] !== null) problems.push(twice(names[at]!));
    columns[k] = at;
    found.set(marker, columns);
  };
  names.forEach((name, i) => {
    const timed = TIME.exec(name);
    const bare = BARE_COORDINATE.exec(name);
    const full = COORDINATE.exec(name);
    if (FRAME.test(name)) index.frame = i;
    else if (timed) time = { index: i, perSecond: timed[2]?.startsWith('m') ? 1000 : 1 };
    else if (LABEL.test(name)) index.label = i;
    else if (bare) place('', bare[1]!, bare[2], i);
    else if (full) place(full[1]!, full[2]!, full[3], i);
  });
  const { frame, label } = index;
  const markers: { label: string; columns: [number, number, number] }[] = [];
  for (const [marker, columns] of found) {
    if ((label === null) !== (marker !== '')) continue;
    const missing = ['x', 'y', 'z'].filter((_, k) => columns[k] === null);
    if (missing.length === 0) markers.push({ label: marker, columns: columns as [number, number, number] });
    else problems.push(incomplete(marker, missing));
  }
  if (markers.length === 0 && problems.length === 0) problems.push(noMarker(names));
  if (label !== null && frame === null && time === null) problems.push(noFrame());
  if (units.size > 1) problems.push(mixedUnits([...units]));
  if (problems.length > 0) return problems;
  return { frame, time, label, markers, unit: [...units][0] ?? null };
}

const HEADER = 'capture line 1';

function twice(name: string): CaptureProblem {
  return {
    where: `${HEADER}, column ${name}`,
    found: 'a second column for the same coordinate',
    expected: 'each coordinate once',
    remedy: 'Remove or rename one of the two columns.',
  };
}

function incomplete(marker: string, missing: readonly string[]): CaptureProblem {
  const name = marker === '' ? '' : `${marker}_`;
  return {
    where: HEADER,
    found: `no column ${missing.map((axis) => `${name}${axis}`).join(', ')}`,
    expected: `${name}x, ${name}y and ${name}z`,
    remedy: 'Export all three coordinates of every marker.',
  };
}

function noMarker(names: readonly string[]): CaptureProblem {
  return {
    where: HEADER,
    found: `the columns ${names.slice(0, 12).join(', ')}${names.length > 12 ? ', ...' : ''}`,
    expected: 'NAME_x, NAME_y, NAME_z for each marker, or the columns frame, marker, x, y, z',
    remedy: 'Rename the columns, or export the capture as C3D.',
  };
}

function noFrame(): CaptureProblem {
  return {
    where: HEADER,
    found: 'one row for each marker, and no column that says of which frame',
    expected: 'a column frame or time',
    remedy: 'Export the number of the frame with each row.',
  };
}

function mixedUnits(units: readonly string[]): CaptureProblem {
  return {
    where: HEADER,
    found: `coordinates in ${units.join(' and ')}`,
    expected: 'one unit of length in a file',
    remedy: 'Export all coordinates in one unit.',
  };
}
