import { type ByteReader, trimField } from './bytes.ts';

/** One parameter: its numbers or its texts, flattened, with the dimensions the file gives. */
export interface Parameter {
  readonly dimensions: readonly number[];
  readonly numbers: readonly number[];
  /** Only for text: one trimmed entry per string. */
  readonly texts: readonly string[];
}

export type Parameters = ReadonlyMap<string, Parameter>;

const SIZE_OF_TYPE: Readonly<Record<number, number>> = { [-1]: 1, 1: 1, 2: 2, 4: 4 };

/**
 * Reads the parameter section from `start` to `end` into a map keyed `GROUP:NAME` in capitals. A record that
 * does not make sense is left out, or ends the reading, with a warning; the rest stands.
 */
export function readParameters(
  file: ByteReader,
  start: number,
  end: number,
  warnings: string[],
): { readonly parameters: Parameters; readonly end: number } {
  const groups = new Map<number, string>();
  const found: { group: number; name: string; parameter: Parameter }[] = [];
  let at = start;
  const stop = (why: string): void => {
    warnings.push(
      `The parameter section makes no sense at byte ${at} (${why}); parameters after it were not read.`,
    );
  };
  while (at + 2 <= end) {
    const nameLength = Math.abs(file.signed8(at, 'a parameter'));
    const id = file.signed8(at + 1, 'a parameter');
    if (nameLength === 0) break;
    const pointer = at + 2 + nameLength;
    if (pointer + 2 > end) {
      stop('a name runs past the end of the section');
      break;
    }
    const name = trimField(file.text(at + 2, nameLength, 'a parameter name')).toUpperCase();
    let step = file.unsigned16(pointer, 'a parameter pointer');
    const swapped = ((step & 0xff) << 8) | (step >> 8);
    if (pointer + step > end && pointer + swapped <= end) {
      warnings.push(
        `The pointer of ${name} at byte ${pointer} is in the wrong byte order; it was read as ${swapped}.`,
      );
      step = swapped;
    }
    if (id < 0) groups.set(-id, name);
    else if (id > 0) {
      // A value may not reach into the next record: each byte is read once, so a hostile file costs no more.
      const parameter = readParameter(file, pointer + 2, step === 0 ? end : Math.min(end, pointer + step));
      if (typeof parameter === 'string')
        warnings.push(`Parameter ${name} at byte ${at} was left out: ${parameter}.`);
      else found.push({ group: id, name, parameter });
    }
    if (step === 0) {
      at = pointer + 2;
      break;
    }
    if (step < 2 || pointer + step > end) {
      if (pointer + step !== end) stop(`${name} points ${step} bytes on`);
      break;
    }
    at = pointer + step;
  }
  const parameters = new Map<string, Parameter>();
  for (const { group, name, parameter } of found) {
    const key = `${groups.get(group) ?? `GROUP ${group}`}:${name}`;
    if (!parameters.has(key)) parameters.set(key, parameter);
  }
  return { parameters, end: at };
}

/** A parameter's value, or what is wrong with it. */
function readParameter(file: ByteReader, at: number, end: number): Parameter | string {
  if (at + 2 > end) return 'its description is cut';
  const type = file.signed8(at, 'a parameter type');
  const size = SIZE_OF_TYPE[type];
  if (size === undefined) return `type ${type} is none of -1, 1, 2, 4`;
  const rank = file.unsigned8(at + 1, 'a parameter rank');
  if (rank > 7) return `${rank} dimensions`;
  if (at + 2 + rank > end) return 'its dimensions are cut';
  const dimensions: number[] = [];
  let count = 1;
  for (let i = 0; i < rank; i++) {
    dimensions.push(file.unsigned8(at + 2 + i, 'a parameter dimension'));
    count *= dimensions[i]!;
  }
  const data = at + 2 + rank;
  if (data + count * size > end) return `${count} values run past the end of its record`;
  if (type === -1) return { dimensions, numbers: [], texts: readTexts(file, data, dimensions, count) };
  const numbers: number[] = [];
  for (let i = 0; i < count; i++)
    numbers.push(
      type === 4
        ? file.float32(data + 4 * i, 'a parameter value')
        : type === 2
          ? file.signed16(data + 2 * i, 'a parameter value')
          : file.signed8(data + i, 'a parameter value'),
    );
  return { dimensions, numbers, texts: [] };
}

function readTexts(file: ByteReader, data: number, dimensions: readonly number[], count: number): string[] {
  if (count === 0) return [];
  const width = dimensions[0] ?? 1;
  const texts: string[] = [];
  for (let i = 0; i < count; i += width)
    texts.push(trimField(file.text(data + i, width, 'a parameter text')));
  return texts;
}

/** The first number of a parameter, or null where it is absent or empty. */
export function numberOf(parameters: Parameters, key: string): number | null {
  return parameters.get(key)?.numbers[0] ?? null;
}

/** A 16-bit count, which files above 32767 store with the sign bit set. */
export function countOf(parameters: Parameters, key: string): number | null {
  const value = numberOf(parameters, key);
  return value === null ? null : value < 0 ? value + 65536 : value;
}

/** A 32-bit count kept as two 16-bit words, low word first. */
export function longCountOf(parameters: Parameters, key: string): number | null {
  const words = parameters.get(key)?.numbers;
  if (!words || words.length < 2) return null;
  const [low, high] = words.map((word) => (word < 0 ? word + 65536 : word)) as [number, number];
  return low + 65536 * high;
}

/** Texts of KEY, KEY2, KEY3 ... one after another: a parameter holds at most 255 of them. */
export function textsOf(parameters: Parameters, key: string): string[] {
  const texts = [...(parameters.get(key)?.texts ?? [])];
  for (let i = 2; parameters.has(`${key}${i}`); i++) texts.push(...parameters.get(`${key}${i}`)!.texts);
  return texts;
}
