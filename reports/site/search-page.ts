import { escapeMarkup, shortLabel } from '../../src/report/index.ts';
import { code, type Entry, type SitePage } from './page.ts';
import { searchScript } from './search-script.ts';

/** The longest description in the list; the place itself has the whole. */
const LONGEST = 150;

const letterOf = (name: string): string => {
  const first = name.replace(/^[^\p{L}\p{N}]+/u, '')[0]?.toUpperCase() ?? '';
  return /[A-Z]/.test(first) ? first : '0-9';
};

const isCode = ({ kind, name }: Entry): boolean =>
  /^(command|option|column|field|function|interface|type|constant|class|table)/.test(kind) &&
  !name.includes(': ');

/** Everything that has a place, from A to Z; where scripts may run, a field that looks through it. */
export function searchPage(entries: readonly Entry[]): SitePage {
  const sorted = [...entries].sort(
    (a, b) => order(a.name.toLowerCase(), b.name.toLowerCase()) || order(a.href, b.href),
  );
  const letters = [...new Set(sorted.map(({ name }) => letterOf(name)))].sort(order);
  const sections = letters.map((letter) => {
    const items = sorted.filter(({ name }) => letterOf(name) === letter).map(item);
    return `<section aria-labelledby="letter-${letter}">
<h2 id="letter-${letter}">${letter}</h2>
<ul class="plain">
${items.join('\n')}
</ul>
</section>`;
  });
  return {
    path: 'search.html',
    title: 'Search and A to Z',
    scripts: [searchScript],
    body: `<h1>Search, and everything from A to Z</h1>
<div class="finder" hidden role="search"><label for="asked">Words to look for</label>
<input id="asked" type="search" autocomplete="off" spellcheck="false">
<p id="found" class="soft" role="status" aria-live="polite"></p>
<ol id="hits" class="plain"></ol></div>
<div id="all">
<p>${entries.length} commands, options, metrics, columns, fields, names of the library, pages and headings.</p>
<nav aria-label="Letters"><ul class="letters">
${letters.map((letter) => `<li><a href="#letter-${letter}">${letter}</a></li>`).join('\n')}
</ul></nav>
${sections.join('\n')}
</div>`,
  };
}

const order = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

function item(entry: Entry): string {
  const name = isCode(entry) ? code(entry.name) : escapeMarkup(entry.name);
  const words =
    entry.words === ''
      ? ''
      : ` <small class="soft">${escapeMarkup(shortLabel(entry.words, LONGEST))}</small>`;
  return `<li data-entry><a href="${escapeMarkup(entry.href)}">${name}</a> <span class="kind">${escapeMarkup(entry.kind)}</span>${words}</li>`;
}
