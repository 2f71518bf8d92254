import { median } from '../../numerics/index.ts';
import { MISSING_WORDS, writtenNumber } from './cell-values.ts';
import { type HeaderReading, readHeader } from './header-words.ts';
import { ASK, type ColumnMap, type Convention } from './mapping.ts';
import { proposeWords } from './propose-words.ts';
import type { CellKind } from './sheet.ts';
import { type Target, targetOf } from './targets.ts';
import { convertUnit, unitIn, unitsLike } from './units.ts';

/** A column of the sheet with what is in it. */
export interface SheetColumn {
  /** Counted from 1. */
  readonly column: number;
  readonly header: string;
  readonly unitCell: string;
  readonly values: readonly { readonly text: string; readonly kind: CellKind }[];
}

/** Fewer values than this tell no unit from another. */
const ENOUGH = 3;

/** What a column most likely is, with the reason; "ask" wherever header and values leave it open. */
export function proposeColumn(sheet: SheetColumn, decimal: '.' | ','): ColumnMap {
  const { column, header } = sheet;
  const reading = readHeader(header);
  const [first, ...others] = reading.sure;
  if (first !== undefined && others.length === 0) return proposeFor(sheet, reading, first, decimal);
  const candidates = reading.sure.length > 0 ? reading.sure : reading.open;
  if (candidates.length > 0)
    return {
      column,
      header,
      to: ASK,
      reason: `the header fits ${candidates.length} columns; it does not say which instant or which of them is meant`,
      alternatives: candidates,
    };
  const empty = sheet.values.every(({ text }) => text.trim() === '');
  return {
    column,
    header,
    to: null,
    reason: empty
      ? 'the column is empty'
      : header === ''
        ? 'the column has values and no name, so nothing says what it is; it stays in the original'
        : 'no column of the tables has these words; it stays in the original',
  };
}

function proposeFor(sheet: SheetColumn, reading: HeaderReading, to: string, decimal: '.' | ','): ColumnMap {
  const { column, header } = sheet;
  const target = targetOf(to)!;
  const why = reading.exact ? 'the header is the name of the column' : `the header has the words for ${to}`;
  const base = { column, header, to };
  if (target.limits === null) {
    const words = proposeWords(target, sheet.values);
    return { ...base, ...(words.length === 0 ? {} : { words }), reason: why };
  }
  const numbers = numbersOf(sheet, decimal);
  const unit = target.unit === null ? null : unitOf(sheet, reading, target, numbers);
  const asRead =
    unit === null || unit.unit === ASK
      ? numbers
      : numbers.map((value) => convertUnit(value, unit.unit, target.unit!));
  const convention = unit?.unit === ASK ? null : conventionOf(reading, target, asRead);
  const side = to.includes('trail_elbow') ? reading.side : null;
  const reasons = [
    why,
    unit?.reason,
    convention?.reason,
    side === null
      ? null
      : `it is of the ${side} side: the trail side of golfers who play ${side === 'right' ? 'right' : 'left'}`,
  ];
  const alternatives =
    unit?.unit === ASK
      ? unit.among
      : convention?.convention === ASK
        ? ['as-is', 'included-angle']
        : undefined;
  return {
    ...base,
    ...(unit === null ? {} : { unit: unit.unit }),
    ...(convention === null ? {} : { convention: convention.convention }),
    ...(side === null ? {} : { side }),
    reason: reasons.filter((reason) => reason != null).join('; '),
    ...(alternatives === undefined ? {} : { alternatives }),
  };
}

function numbersOf(sheet: SheetColumn, decimal: '.' | ','): number[] {
  const numbers: number[] = [];
  for (const { text, kind } of sheet.values) {
    if (kind === 'error' || MISSING_WORDS.includes(text.trim().toLowerCase())) continue;
    const number = writtenNumber(text, kind === 'number' ? '.' : decimal);
    if (number !== null) numbers.push(number.value);
  }
  return numbers;
}

interface UnitProposal {
  readonly unit: string;
  readonly reason: string;
  readonly among: readonly string[];
}

/** The unit by the header, the line of units and the cells; by the values only where one unit alone fits them. */
function unitOf(
  sheet: SheetColumn,
  { unit, exact }: HeaderReading,
  target: Target,
  numbers: readonly number[],
): UnitProposal {
  const wanted = target.unit!;
  const among = unitsLike(wanted);
  const inCells = sheet.values
    .map(({ text }) => /\d\s*([^\d\s.,].*)$/.exec(text.trim())?.[1])
    .map((word) => (word === undefined ? null : unitIn(word)));
  const cellUnits = new Set(inCells.filter((word) => word !== null));
  const said = new Map<string, string>();
  if (unit !== null) said.set(unit, 'the header');
  const unitCell = unitIn(sheet.unitCell);
  if (unitCell !== null) said.set(unitCell, 'the line of units');
  for (const name of cellUnits) said.set(name, 'the cells');
  const fits = among.filter((name) =>
    plausible(
      numbers.map((value) => convertUnit(value, name, wanted)),
      target,
    ),
  );
  const named = [...said.keys()];
  if (named.length > 1)
    return {
      unit: ASK,
      among: named,
      reason: `${[...said].map(([name, where]) => `${where} says ${name}`).join(', ')}`,
    };
  const [only] = named;
  if (only !== undefined) {
    if (!among.includes(only))
      return {
        unit: ASK,
        among,
        reason: `${said.get(only)} says ${only}, which is no unit of ${target.name}`,
      };
    if (numbers.length >= ENOUGH && !fits.includes(only) && fits.length > 0)
      return {
        unit: ASK,
        among,
        reason: `${said.get(only)} says ${only}, but the values (median ${few(numbers)}) look like ${fits.join(' or ')}`,
      };
    return { unit: only, among, reason: `${said.get(only)} says ${only}` };
  }
  if (exact) return { unit: wanted, among, reason: `its name says ${wanted}` };
  if (numbers.length >= ENOUGH && fits.length === 1)
    return {
      unit: fits[0]!,
      among,
      reason: `no unit is named; of ${among.join(', ')} only ${fits[0]} gives possible values (median ${few(numbers)})`,
    };
  return {
    unit: ASK,
    among,
    reason:
      numbers.length < ENOUGH
        ? 'no unit is named, and there are too few values to tell'
        : `no unit is named; the values (median ${few(numbers)}) fit ${fits.length === 0 ? 'none' : fits.join(' and ')}`,
  };
}

function conventionOf(
  { exact, included, side }: HeaderReading,
  target: Target,
  numbers: readonly number[],
): { readonly convention: Convention | typeof ASK; readonly reason: string | null } | null {
  const turns = /trail_elbow_flexion|^swings\.lag_/.test(target.name) && !target.name.endsWith('_sd');
  if (included && turns)
    return {
      convention: 'included-angle',
      reason: 'the header says it is the included angle, so it becomes 180 minus it',
    };
  if (exact) return { convention: 'as-is', reason: null };
  if (numbers.length < ENOUGH)
    return {
      convention: turns ? ASK : 'as-is',
      reason: turns ? 'too few values tell flexion from the included angle' : null,
    };
  const asIs = plausible(numbers, target);
  const opposite = plausible(
    numbers.map((value) => -value),
    target,
  );
  if (!turns) {
    if (!asIs && opposite)
      return {
        convention: 'opposite-sign',
        reason: `with the sign turned the values are possible (median ${few(numbers)}), as they stand they are not`,
      };
    return { convention: 'as-is', reason: null };
  }
  const turned = plausible(
    numbers.map((value) => 180 - value),
    target,
  );
  if (asIs && !turned)
    return {
      convention: 'as-is',
      reason: `the values (median ${few(numbers)}) fit flexion and not the included angle`,
    };
  if (turned && !asIs)
    return {
      convention: 'included-angle',
      reason: `the values (median ${few(numbers)}) fit the included angle (180 = straight), so they become 180 minus them`,
    };
  return {
    convention: ASK,
    reason: `the values (median ${few(numbers)}) fit flexion (0 = straight) and the included angle (180 = straight) alike${side === null ? '' : ', on either side'}`,
  };
}

/** Whether the typical value is an ordinary one, and hardly any is impossible. */
function plausible(values: readonly number[], { limits }: Target): boolean {
  if (limits === null || values.length === 0) return false;
  const middle = median(Float64Array.from(values))!;
  const [low, high] = limits.plausible;
  const possible = values.filter(
    (value) => value >= limits.possible[0] && value <= limits.possible[1],
  ).length;
  return middle >= low && middle <= high && possible >= 0.8 * values.length;
}

function few(values: readonly number[]): string {
  return String(Number((median(Float64Array.from(values)) ?? Number.NaN).toPrecision(4)));
}
