import { nearest } from '../dataset/index.ts';
import type { Fault } from './result.ts';

/**
 * A word that is none of those allowed: which of them is likely to be meant, or all of them where none is near.
 * @example unknownWord('--axis', 'percnt', ['percent', 'registered']).remedy // 'write percent, if that is what is meant'
 */
export function unknownWord(
  where: string,
  found: string,
  allowed: readonly string[],
  words: { readonly kind?: string; readonly remedy?: string } = {},
): Fault {
  const { kind = 'one of', remedy = 'write one of these, letter for letter' } = words;
  const meant = nearest(found, allowed);
  return {
    where,
    found: `"${found}"`,
    expected:
      meant === null || allowed.length <= 8 ? `${kind}: ${allowed.join(', ')}` : `${kind}, such as ${meant}`,
    remedy: meant === null ? remedy : `write ${meant}, if that is what is meant`,
  };
}
