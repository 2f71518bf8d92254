import { escapeMarkup, shortLabel } from './escape.ts';

/** A name that may come from a file: escaped, kept from turning its neighbours, and cut for display. */
export function textHtml(text: string, longest = 40): string {
  const shown = shortLabel(text, longest);
  const whole = shown === text ? '' : ` title="${escapeMarkup(text)}"`;
  return `<bdi${whole}>${escapeMarkup(shown)}</bdi>`;
}

/** Words longer than this many characters are cut for display; the whole is in the title. */
const longestWord = 80;

/**
 * A sentence that may hold names from a file: escaped, degrees by their sign, and no word so long that it would bury
 * the rest.
 * @example proseHtml('G01 < G02 by 3 deg') // 'G01 &lt; G02 by 3°'
 */
export function proseHtml(text: string): string {
  return text
    .replace(/(\d) deg\b/g, '$1°')
    .split(/(\s+)/)
    .map((part) => (part.length > longestWord ? textHtml(part) : escapeMarkup(part)))
    .join('');
}
