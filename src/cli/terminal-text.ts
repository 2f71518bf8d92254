/** Text on its way to a terminal, which obeys characters that it cannot show. */

// Control and format characters but line feed and tab; line and paragraph separators; halves of surrogate pairs.
const unseen = /(?![\n\t])[\p{Cc}\p{Cf}\p{Cs}\u2028\u2029]/gu;

/**
 * The text with every character that a terminal would obey, or could not show, written as a code: escape sequences,
 * carriage returns, marks that turn the direction. A JSON document so written says the same.
 * @example writtenOut('\u001b[31mG01') // '\\u001b[31mG01'
 */
export function writtenOut(text: string): string {
  return text.replace(unseen, (found) =>
    Array.from(
      { length: found.length },
      (_, k) => `\\u${found.charCodeAt(k).toString(16).padStart(4, '0')}`,
    ).join(''),
  );
}

/**
 * The same for a name within a line of ours: its line ends and tabs as codes too, so that it makes no line of its own.
 * @example withinLine('G01\nThe report: mine') // 'G01\\nThe report: mine'
 */
export function withinLine(text: string): string {
  return writtenOut(text).replace(/[\n\t]/g, (found) => (found === '\n' ? '\\n' : '\\t'));
}

/** A word beyond this is cut in its middle; no path that a disk takes in daily use is so long. */
const longestWord = 400;
// Beyond Latin, Greek, Cyrillic and our own signs: a script that may run from right to left.
const otherScripts = /[\u0590-\u1fff\u3000-\uffff]/;

/**
 * Words for a person: codes for what cannot be seen, no word of ten thousand letters that scrolls the rest away, and
 * each run from right to left between marks that keep the numbers beside it where they are.
 */
export async function forPerson(text: string): Promise<string> {
  const short = writtenOut(text).replace(/\S+/g, (word) =>
    word.length <= longestWord
      ? word
      : `${word.slice(0, 60)}… (${word.length} characters) …${word.slice(-20)}`,
  );
  if (!otherScripts.test(short)) return short;
  // Loaded only here, since most commands do without it.
  const { isolated } = await import('../report/index.ts');
  return isolated(short);
}
