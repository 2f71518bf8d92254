import { escapeMarkup, shortLabel, turnedRuns } from './escape.ts';
import { formatCount } from './numbers.ts';

/** A name that may come from a file: escaped, kept from turning its neighbours, and cut for display. */
export function textHtml(text: string, longest = 40): string {
  const shown = shortLabel(text, longest);
  const whole = shown === text ? '' : ` title="${escapeMarkup(text)}"`;
  return `<bdi${whole}>${escapeMarkup(shown)}</bdi>`;
}

/** Words longer than this many characters are cut for display; the whole is in the title. */
const longestWord = 80;

/**
 * A sentence that may hold names from a file: escaped, no run from right to left turning what stands beside it, and no
 * word so long that it would bury the rest.
 * @example proseHtml('G01 < G02') // 'G01 &lt; G02'
 */
export function proseHtml(text: string): string {
  let html = '';
  let plain = '';
  for (const part of text.split(/(\s+)/)) {
    if (part.length <= longestWord) plain += part;
    else {
      html += directedHtml(plain) + textHtml(part);
      plain = '';
    }
  }
  return html + directedHtml(plain);
}

function directedHtml(text: string): string {
  return turnedRuns(text)
    .map((piece, k) => (k % 2 === 1 ? `<bdi>${escapeMarkup(piece)}</bdi>` : escapeMarkup(piece)))
    .join('');
}

/** A paragraph longer than this is folded after its first sentences; an argument in a plan has no length by rule. */
const longestParagraph = 1500;
const inSight = 600;

/**
 * A paragraph of text that a person wrote, after a lead in HTML: what is too long for a page to carry in sight is
 * there, folded.
 * @example paragraphHtml('So it is.') // '<p>So it is.</p>'
 */
export function paragraphHtml(text: string, lead = ''): string {
  if (text.length <= longestParagraph) return `<p>${lead}${proseHtml(text)}</p>`;
  const space = text.lastIndexOf(' ', inSight);
  const cut = space > inSight / 2 ? space : inSight;
  const rest = text.slice(cut);
  return (
    `<p>${lead}${proseHtml(text.slice(0, cut))} …</p>` +
    `<details><summary>The rest of it: ${formatCount(rest.length, 'character')}</summary><p>${proseHtml(rest)}</p></details>`
  );
}
