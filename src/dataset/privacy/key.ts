import { randomBytes } from 'node:crypto';
import { chmod, realpath } from 'node:fs/promises';
import { basename, dirname, join, resolve, sep } from 'node:path';
import { codeOf, writeNewFile } from '../new-files.ts';
import { readRegularFile } from '../read-regular-file.ts';
import type { PrivacyOutcome } from './privacy-problem.ts';

/** The secret from which pseudonyms follow. Who has it can undo them; who has lost it never can. */
export interface PseudonymKey {
  readonly bytes: Uint8Array;
  /** The file was not there and was made now. */
  readonly isNew: boolean;
}

/** At least as many bytes as the hash gives, as RFC 2104 (section 3) asks; fewer weaken it. */
const LEAST_BYTES = 32;

/**
 * Reads the key of a dataset's pseudonyms. The file lies outside the dataset (and outside `others`, the folders that are
 * handed on), for whoever has both has the names. Line ends at its end do not count. With `make`, a file that is not
 * there is made, of 32 random bytes in hexadecimal, readable by its owner alone.
 *
 * @example
 * const key = await readKey('roster.key', { dataset: 'my-roster', make: true });
 * key.ok && key.value.isNew // true
 */
export async function readKey(
  file: string,
  where: { readonly dataset: string; readonly others?: readonly string[]; readonly make?: boolean },
): Promise<PrivacyOutcome<PseudonymKey>> {
  const fault = (found: string, expected: string, remedy: string): PrivacyOutcome<PseudonymKey> => ({
    ok: false,
    problems: [{ where: '--key', found, expected, remedy }],
  });
  const place = await realPlace(file);
  for (const folder of [where.dataset, ...(where.others ?? [])]) {
    const root = await realPlace(folder);
    if (place === root || place.startsWith(root + sep))
      return fault(
        `"${file}", inside ${folder}`,
        'a key outside the dataset and outside what is handed on',
        'move the key to a place of its own: whoever has it can undo the pseudonyms',
      );
  }
  let text: Buffer;
  try {
    text = await readRegularFile(place);
  } catch (error) {
    if (codeOf(error) !== 'ENOENT')
      return fault(`"${file}", which cannot be read`, 'a file with the key', 'ask for the right to read it');
    if (where.make !== true)
      return fault(
        `no file "${file}"`,
        'the key with which the pseudonyms were made',
        'check the spelling; a new key would give other pseudonyms',
      );
    await writeNewFile(place, `${randomBytes(LEAST_BYTES).toString('hex')}\n`);
    await chmod(place, 0o600);
    const made = await readKey(file, { ...where, make: false });
    return made.ok ? { ok: true, value: { ...made.value, isNew: true } } : made;
  }
  let end = text.length;
  while (end > 0 && (text[end - 1] === 0x0a || text[end - 1] === 0x0d)) end -= 1;
  const bytes = Uint8Array.from(text.subarray(0, end));
  if (bytes.length < LEAST_BYTES)
    return fault(
      `"${file}", with a key of ${bytes.length} bytes`,
      `at least ${LEAST_BYTES} bytes that nobody can guess`,
      'give the name of a file that is not there yet: a good key is then made',
    );
  return { ok: true, value: { bytes, isNew: false } };
}

/** Where a file is or would be, behind symbolic links. */
async function realPlace(path: string): Promise<string> {
  const full = resolve(path);
  try {
    return await realpath(full);
  } catch {
    const above = dirname(full);
    return above === full ? full : join(await realPlace(above), basename(full));
  }
}
