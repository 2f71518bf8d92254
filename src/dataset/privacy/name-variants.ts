import { fromWindows1252 } from '../read/windows-1252.ts';

const JOINED_BY: readonly string[] = [' ', ', ', '_', '-', '.', ''];

/**
 * A name as it may stand in a remark, a file's name or an address: as it is written, with its last part first, with other
 * marks between the parts, and in capitals or small letters. A name of one part stays with its capital: in small letters
 * too many names are words. A letter that was taken for a control character stands for itself too.
 *
 * @example nameVariants('Ann Berg').includes('BERG, ANN') // true
 */
export function nameVariants(given: string): readonly string[] {
  const name = given.replace(/[\u0080-\u009f]/g, (control) =>
    fromWindows1252(Buffer.from(control, 'latin1')),
  );
  const parts = name.split(/[^\p{L}\p{N}\p{M}]+/u).filter((part) => part !== '');
  const orders =
    parts.length > 1 ? [parts, [parts.at(-1)!, ...parts.slice(0, -1)], [...parts.slice(1), parts[0]!]] : [];
  const joined = orders.flatMap((order) => JOINED_BY.map((mark) => order.join(mark)));
  return [
    ...new Set([
      given,
      name,
      name.toUpperCase(),
      ...joined.flatMap((text) => [text, text.toUpperCase(), text.toLowerCase()]),
    ]),
  ];
}
