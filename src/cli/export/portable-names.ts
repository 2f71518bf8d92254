import type { Fault } from '../result.ts';

const RESERVED = /^(?:con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³]|conin\$|conout\$) *(?:\.|$)/i;
const MOST_OF_NAME = 255;

/**
 * Why a name of a file or folder cannot stand on every system a stranger may unpack the archive on, or null where it can:
 * the rules of Windows, which are the narrowest (Microsoft, "Naming Files, Paths, and Namespaces").
 */
export function whyNotPortable(name: string): string | null {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: these are what is looked for
  const sign = /[\0-\x1f<>:"|?*\\]/.exec(name)?.[0];
  if (sign !== undefined)
    return `the character ${sign < ' ' ? `U+${sign.charCodeAt(0).toString(16).padStart(4, '0').toUpperCase()}` : sign}`;
  if (RESERVED.test(name)) return 'a name that Windows keeps for a device';
  if (/[. ]$/.test(name)) return 'a full stop or a space at the end of a name';
  return name.length > MOST_OF_NAME ? `a name of more than ${MOST_OF_NAME} characters` : null;
}

/** Names of the archive that could not be unpacked everywhere, each with what to do. */
export function unportable(paths: readonly string[]): readonly Fault[] {
  const faults: Fault[] = [];
  const fault = (where: string, found: string): void => {
    faults.push({
      where,
      found,
      expected: 'names that every system can unpack, Windows too',
      remedy:
        'rename the file, make the report again where it names the file, and export that; nothing was written',
    });
  };
  const taken = new Map<string, string>();
  for (const path of paths) {
    const why = path
      .split('/')
      .map(whyNotPortable)
      .find((one) => one !== null);
    if (why !== undefined) fault(path, why);
    const folded = path.normalize('NFC').toLowerCase();
    const other = taken.get(folded);
    if (other !== undefined) fault(path, `a name that differs from ${other} in capitals or accents only`);
    else taken.set(folded, path);
  }
  return faults;
}
