import { createHash } from 'node:crypto';

/**
 * SHA-256 of bytes, or of a text in UTF-8, as 64 lower-case hexadecimal characters (FIPS 180-4).
 *
 * @example sha256Hex('abc') // 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'
 */
export function sha256Hex(bytes: Uint8Array | string): string {
  return createHash('sha256').update(bytes).digest('hex');
}
