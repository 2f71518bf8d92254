import type { Stream } from '../../../src/numerics/index.ts';

/** What trips readers of text, sheets and JSON. */
export const HARM: readonly string[] = [
  '\0',
  '"',
  '\n',
  '\r',
  ';',
  ',,,,',
  '\uFEFF',
  '=1+1',
  '9'.repeat(400),
  '__proto__',
  'constructor',
  '\u202E',
  '1e999',
  '-0',
  'NaN',
  '../',
  '<!DOCTYPE a>',
  '&x;',
  '[',
  '{',
  '\\ud800',
  'x'.repeat(5000),
];

/** What may stand in the place of any value of a JSON file. */
const VALUES: readonly unknown[] = [
  null,
  true,
  false,
  0,
  -1,
  1.5,
  1e308,
  -1e-320,
  2 ** 53,
  '',
  ' ',
  '__proto__',
  'constructor',
  '../../etc/passwd',
  'NaN',
  'x'.repeat(5000),
  [],
  {},
  [null],
  [[[[]]]],
  { a: 1 },
];
const KEYS: readonly string[] = ['__proto__', 'constructor', 'toString', 'length', '', '\0', 'then', 'extra'];

const from = <T>(stream: Stream, items: readonly T[]): T =>
  items[Math.floor(stream.uniform() * items.length)]!;

/** The same bytes with one to four changes, mostly one: bytes changed, cut, doubled, dropped, and texts that do harm put in. */
export function mutatedBytes(bytes: Uint8Array, stream: Stream): Uint8Array {
  let now = Buffer.from(bytes);
  for (let left = 1 + Math.floor(stream.uniform() ** 3 * 4); left > 0; left -= 1) {
    const place = Math.floor(stream.uniform() * (now.length + 1));
    const value = Math.floor(stream.uniform() * 256);
    const [head, tail] = [now.subarray(0, place), now.subarray(place)];
    const kind = from(stream, ['byte', 'byte', 'bit', 'cut', 'copy', 'drop', 'harm', 'long']);
    if (kind === 'byte') now = Buffer.concat([head, Uint8Array.of(value), tail.subarray(1)]);
    if (kind === 'bit' && tail.length > 0) {
      now = Buffer.from(now);
      now[place]! ^= 1 << (value % 8);
    }
    if (kind === 'cut' && value > 200) now = Buffer.from(head);
    if (kind === 'copy') now = Buffer.concat([head, tail.subarray(0, value), tail]);
    if (kind === 'drop') now = Buffer.concat([head, tail.subarray(value % 9)]);
    if (kind === 'harm') now = Buffer.concat([head, Buffer.from(from(stream, HARM)), tail]);
    // Counts and offsets of binary files stand in words of two and four bytes.
    if (kind === 'long')
      now = Buffer.concat([
        head,
        Buffer.alloc(value % 2 === 0 ? 2 : 4, value > 128 ? 0xff : 0),
        tail.subarray(value % 2 === 0 ? 2 : 4),
      ]);
  }
  return new Uint8Array(now);
}

/** The same JSON document with one to three values, mostly one, changed, taken away or put in; now and then as broken text. */
export function mutatedJson(bytes: Uint8Array, stream: Stream): Uint8Array {
  if (stream.uniform() < 0.2) return mutatedBytes(bytes, stream);
  // A key __proto__ can be written into JSON text and not into an object, so it takes its place at the end.
  const root = { value: JSON.parse(new TextDecoder().decode(bytes)) as unknown };
  let proto = false;
  for (let left = 1 + Math.floor(stream.uniform() ** 3 * 3); left > 0; left -= 1) {
    const places = placesIn(root);
    const { holder, key } = from(stream, places);
    const kind = from(stream, ['value', 'value', 'away', 'key', 'twice', 'number']);
    const old = holder[key];
    if (kind === 'value') holder[key] = structuredClone(from(stream, VALUES));
    if (kind === 'away' && key !== 'value') {
      if (Array.isArray(holder)) holder.splice(Number(key), 1);
      else delete holder[key];
    }
    if (kind === 'key' && typeof old === 'object' && old !== null && !Array.isArray(old)) {
      const name = from(stream, KEYS);
      if (name === '__proto__') proto = true;
      (old as Record<string, unknown>)[name === '__proto__' ? 'proto-here' : name] = structuredClone(
        from(stream, VALUES),
      );
    }
    if (kind === 'twice' && Array.isArray(old) && old.length > 0)
      old.push(structuredClone(from(stream, old)));
    if (kind === 'number' && typeof old === 'number')
      holder[key] = from(stream, [-old, old * 1e6, old / 3, old + 0.5]);
  }
  const text = JSON.stringify(root.value) ?? 'null';
  return new TextEncoder().encode(proto ? text.replaceAll('"proto-here"', '"__proto__"') : text);
}

type Holder = Record<string, unknown>;

function placesIn(root: Holder): { readonly holder: Holder; readonly key: string }[] {
  const places: { holder: Holder; key: string }[] = [];
  const look = (holder: Holder) => {
    for (const key of Object.keys(holder)) {
      places.push({ holder, key });
      const value = holder[key];
      if (typeof value === 'object' && value !== null) look(value as Holder);
    }
  };
  look(root);
  return places;
}
