import { ByteWriter } from './byte-writer.ts';
import type { ByteOrder } from './bytes.ts';

/** A parameter to be written: texts, 16-bit integers or floats, with dimensions where they are not one row. */
export type NewParameter =
  | { readonly name: string; readonly texts: readonly string[] }
  | { readonly name: string; readonly int16: readonly number[] }
  | { readonly name: string; readonly float: readonly number[]; readonly dimensions?: readonly number[] };

/** The most entries that one dimension of a parameter counts. */
export const MOST_ENTRIES = 255;

/**
 * The parameter section after its four bytes of header: each group, then its parameters, each with a pointer to
 * the next record.
 *
 * @param groups name and parameters of each, numbered in order
 */
export function writeParameters(
  groups: readonly (readonly [string, readonly NewParameter[]])[],
  order: ByteOrder,
): Uint8Array {
  const out = new ByteWriter(order);
  groups.forEach(([name, parameters], g) => {
    out
      .byte(name.length)
      .byte(-(g + 1))
      .text(name, name.length)
      .int16(3)
      .byte(0);
    for (const parameter of parameters) {
      const body = bodyOf(parameter, order);
      out
        .byte(parameter.name.length)
        .byte(g + 1)
        .text(parameter.name, parameter.name.length);
      out.int16(body.length + 2).bytes(body);
    }
  });
  return out.byte(0).byte(0).written();
}

function bodyOf(parameter: NewParameter, order: ByteOrder): Uint8Array {
  const out = new ByteWriter(order, 1024);
  if ('texts' in parameter) {
    const width = Math.max(1, ...parameter.texts.map((text) => text.length));
    out.byte(-1).byte(2).byte(width).byte(parameter.texts.length);
    for (const text of parameter.texts) out.text(text, width);
    return out.byte(0).written();
  }
  const values = 'int16' in parameter ? parameter.int16 : parameter.float;
  const given = 'dimensions' in parameter ? parameter.dimensions : undefined;
  const dimensions = given ?? (values.length === 1 ? [] : [values.length]);
  out.byte('int16' in parameter ? 2 : 4).byte(dimensions.length);
  for (const dimension of dimensions) out.byte(dimension);
  for (const value of values) 'int16' in parameter ? out.int16(value) : out.float32(value);
  return out.byte(0).written();
}
