/**
 * The one place where text becomes markup. Every text that came from a file goes through here on its way
 * into HTML, SVG, a script's data block or a plotly.js label, and comes out as text.
 */

/**
 * Characters that change how their neighbours are shown, or cannot be shown: control characters (other than
 * tab and line feed), direction marks and overrides, the byte order mark, and halves of surrogate pairs.
 */
const unseen =
  // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what this looks for
  /[\u0000-\u0008\u000b-\u001f\u007f-\u009f\u061c\u200b\u200e\u200f\u2028-\u202e\u2060\u2066-\u2069\ufeff\ufffe\uffff]|[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g;

/**
 * The text with every unseen or direction-changing character written out.
 * @example visibleText('G\u202e01') // 'G⟨U+202E⟩01'
 */
export function visibleText(text: string): string {
  return text.replace(
    unseen,
    (found) => `⟨U+${found.charCodeAt(0).toString(16).toUpperCase().padStart(4, '0')}⟩`,
  );
}

/** Letters of scripts that run from right to left: Hebrew, Arabic and their kin, and those of the higher planes. */
const fromRight = '[\\u0590-\\u08ff\\ufb1d-\\ufdff\\ufe70-\\ufefc\\u{10800}-\\u{10fff}\\u{1e800}-\\u{1efff}]';
const turnedRun = new RegExp(`(${fromRight}+(?:[ '’\\u00a0-]+${fromRight}+)*)`, 'u');

/**
 * The text in pieces, those at odd places being runs of letters that read from right to left. Digits and signs beside
 * such a run would be drawn on its other side, so whoever shows it keeps it apart.
 * @example turnedRuns('of שלום 5 deg') // ['of ', 'שלום', ' 5 deg']
 */
export function turnedRuns(text: string): readonly string[] {
  return text.split(turnedRun);
}

/**
 * The text with every run from right to left between marks that keep its neighbours where they are: for drawings and
 * terminals, which have no element for it.
 * @example isolated('G01') // 'G01'
 */
export function isolated(text: string): string {
  return turnedRuns(text)
    .map((piece, k) => (k % 2 === 1 ? `\u2068${piece}\u2069` : piece))
    .join('');
}

const entities: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/**
 * Text for HTML or XML, in an element or in a quoted attribute.
 * @example escapeMarkup('<b>"G01"</b>') // '&lt;b&gt;&quot;G01&quot;&lt;/b&gt;'
 */
export function escapeMarkup(text: string): string {
  return visibleText(text).replace(/[&<>"']/g, (found) => entities[found] ?? found);
}

/**
 * A value as JSON for the inside of a `<script type="application/json">` block: valid JSON that cannot end
 * the block, open a comment, or carry a character that a script reads as a line end or that turns what stands around it.
 * @example jsonForScript({ id: '</script>' }) // '{"id":"\\u003c/script\\u003e"}'
 */
export function jsonForScript(value: unknown): string {
  return JSON.stringify(value).replace(
    /[<>&\u007f-\u009f\u061c\u200b\u200e\u200f\u2028-\u202e\u2060\u2066-\u2069\ufeff]/g,
    (found) => `\\u${found.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
}

/**
 * Text for a label or tooltip of plotly.js, which reads a few tags and entities: they are switched off, and
 * a line feed becomes its line break.
 * @example escapePlotly('<i>G01</i>\nafter') // '&lt;i&gt;G01&lt;/i&gt;<br>after'
 */
export function escapePlotly(text: string): string {
  return isolated(visibleText(text))
    .replace(/[&<>]/g, (found) => entities[found] ?? found)
    .replace(/\n/g, '<br>');
}

/** Made once: each is a heavy object of the engine, and a page has thousands of labels. */
const letters = new Intl.Segmenter('en');

/** What a reader takes for one letter, joined characters together. */
function lettersOf(text: string): string[] {
  return /^[ -~]*$/.test(text) ? text.split('') : Array.from(letters.segment(text), ({ segment }) => segment);
}

/**
 * A label of at most `most` characters: white space on one line, the middle of a longer text left out, so
 * that two long names that differ at the end stay apart.
 * @example shortLabel('a golfer with a very long name 17', 16) // 'a golfer w…me 17'
 */
export function shortLabel(text: string, most = 24): string {
  // A crowd of joined characters counts as one, so the length in code units is bounded first.
  const bounded = text.length > 40 * most ? `${text.slice(0, 20 * most)}…${text.slice(-20 * most)}` : text;
  const shown = lettersOf(visibleText(bounded.replace(/\s+/g, ' ').trim()));
  const parts = shown.map((letter) => (letter.length > 8 ? letter.slice(0, 8) : letter));
  if (parts.length <= most) return parts.join('');
  const tail = Math.floor((most - 1) / 3);
  return `${parts.slice(0, most - 1 - tail).join('')}…${parts.slice(-tail).join('')}`;
}
