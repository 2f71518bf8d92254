/** A unit a spreadsheet may use: `top / bottom` of it make one of the dimension's first unit, exactly. */
interface Unit {
  readonly name: string;
  readonly dimension: string;
  readonly top: number;
  readonly bottom: number;
  readonly spellings: readonly string[];
}

/** The international yard and pound (1959): 1 in = 2.54 cm exactly, so 1 mile an hour = 0.44704 m/s exactly. */
const UNITS: readonly Unit[] = [
  {
    name: 'm/s',
    dimension: 'speed',
    top: 1,
    bottom: 1,
    spellings: ['m/s', 'mps', 'ms-1', 'm s-1', 'm/sec', 'metres per second'],
  },
  {
    name: 'mph',
    dimension: 'speed',
    top: 44704,
    bottom: 100_000,
    spellings: ['mph', 'mi/h', 'miles per hour'],
  },
  { name: 'km/h', dimension: 'speed', top: 10, bottom: 36, spellings: ['km/h', 'kmh', 'kph', 'kmph'] },
  { name: 'ft/s', dimension: 'speed', top: 3048, bottom: 10_000, spellings: ['ft/s', 'ft/sec'] },
  {
    name: 'm',
    dimension: 'length',
    top: 1,
    bottom: 1,
    spellings: ['m', 'meter', 'meters', 'metre', 'metres'],
  },
  { name: 'cm', dimension: 'length', top: 1, bottom: 100, spellings: ['cm', 'centimetres', 'centimeters'] },
  { name: 'mm', dimension: 'length', top: 1, bottom: 1000, spellings: ['mm', 'millimetres', 'millimeters'] },
  {
    name: 'in',
    dimension: 'length',
    top: 254,
    bottom: 10_000,
    spellings: ['in', 'inch', 'inches', '"', '\u2033'],
  },
  { name: 'ft', dimension: 'length', top: 3048, bottom: 10_000, spellings: ['ft', 'feet', 'foot'] },
  { name: 'yd', dimension: 'length', top: 9144, bottom: 10_000, spellings: ['yd', 'yds', 'yard', 'yards'] },
  {
    name: 'deg',
    dimension: 'angle',
    top: 1,
    bottom: 1,
    spellings: ['deg', 'degs', 'degree', 'degrees', '\u00B0'],
  },
  { name: 'rad', dimension: 'angle', top: 180, bottom: Math.PI, spellings: ['rad', 'radian', 'radians'] },
  {
    name: 'deg/s',
    dimension: 'turning speed',
    top: 1,
    bottom: 1,
    spellings: ['deg/s', 'dps', '\u00B0/s', 'deg/sec'],
  },
  { name: 'rad/s', dimension: 'turning speed', top: 180, bottom: Math.PI, spellings: ['rad/s', 'rad/sec'] },
  { name: 'ms', dimension: 'time', top: 1, bottom: 1, spellings: ['ms', 'msec', 'milliseconds'] },
  { name: 's', dimension: 'time', top: 1000, bottom: 1, spellings: ['s', 'sec', 'secs', 'seconds'] },
  { name: '%', dimension: 'share', top: 1, bottom: 1, spellings: ['%', 'pct', 'percent', 'per cent'] },
  { name: 'fraction', dimension: 'share', top: 100, bottom: 1, spellings: ['fraction'] },
  { name: 'Hz', dimension: 'rate', top: 1, bottom: 1, spellings: ['hz', 'fps', 'frames/s'] },
];

const bySpelling = new Map(
  UNITS.flatMap((unit) => unit.spellings.map((spelling) => [spelling, unit] as const)),
);
const byName = new Map(UNITS.map((unit) => [unit.name, unit]));

export const UNIT_NAMES: readonly string[] = UNITS.map(({ name }) => name);

/**
 * The unit that a word means, or null.
 *
 * @example unitIn('[Yards]') // 'yd'
 */
export function unitIn(word: string): string | null {
  const bare = word
    .trim()
    .replace(/^[[({]|[\])}]$/g, '')
    .replace(/\u00BA/g, '\u00B0')
    .trim()
    .toLowerCase();
  return bySpelling.get(bare)?.name ?? null;
}

/** The units that measure what `unit` measures, itself among them. */
export function unitsLike(unit: string): readonly string[] {
  const dimension = byName.get(unit)?.dimension;
  return UNITS.filter((other) => other.dimension === dimension).map(({ name }) => name);
}

/**
 * A value in another unit, to 15 figures, so that 100 mph is 44.704 m/s and not 44.704000000000004.
 *
 * @throws Error when the two measure different things
 * @example convertUnit(100, 'mph', 'm/s') // 44.704
 */
export function convertUnit(value: number, from: string, to: string): number {
  if (from === to) return value;
  const [a, b] = [byName.get(from), byName.get(to)];
  if (a === undefined || b === undefined || a.dimension !== b.dimension)
    throw new Error(`convertUnit: ${from} cannot be turned into ${to}. Check unitsLike('${to}') first.`);
  return Number(((value * a.top * b.bottom) / (a.bottom * b.top)).toPrecision(15));
}
