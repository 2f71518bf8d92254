import { escapeMarkup, pageShell } from '../../src/report/index.ts';
import { siteStyle } from './style.ts';

/** One page of the site. Links in `body` that begin with a slash count from the root of the site. */
export interface SitePage {
  /** POSIX path within the site, such as `library/stats.html`. */
  readonly path: string;
  readonly title: string;
  /** HTML with one `h1`; every text in it already escaped. */
  readonly body: string;
  /** Whether the content is wider than a column of prose. */
  readonly wide?: boolean;
  readonly scripts?: readonly string[];
}

/** Something that the search finds: a page or a place on one. */
export interface Entry {
  readonly name: string;
  /** From the root of the site, such as `/tables.html#swings`. */
  readonly href: string;
  /** What it is, in a word or two. */
  readonly kind: string;
  readonly words: string;
}

/** Pages with what the search finds on them. */
export interface SitePart {
  readonly pages: readonly SitePage[];
  readonly entries: readonly Entry[];
}

const PLACES: readonly (readonly [path: string, name: string])[] = [
  ['index.html', 'Start'],
  ['tutorials/index.html', 'Tutorials'],
  ['commands.html', 'Commands'],
  ['metrics.html', 'Metrics'],
  ['tables.html', 'Tables'],
  ['json/index.html', 'JSON files'],
  ['library/index.html', 'Library'],
  ['notebooks/index.html', 'Notebooks'],
  ['reports/index.html', 'Reports'],
  ['more.html', 'More'],
  ['search.html', 'Search and A to Z'],
];

/** The place of the navigation that a page belongs to. */
const placeOf = (path: string): string => {
  const folder = path.split('/')[0]!;
  return PLACES.some(([place]) => place === path) || !path.includes('/') ? path : `${folder}/index.html`;
};

function navigation(path: string): string {
  const items = PLACES.map(([place, name]) => {
    const here =
      place === path ? ' aria-current="page"' : place === placeOf(path) ? ' aria-current="true"' : '';
    return `<li><a href="/${place}"${here}>${name}</a></li>`;
  });
  return `<header class="site-head">
<p class="site-name"><a href="/index.html">Proving Range</a></p>
<nav aria-label="Site"><ul>
${items.join('\n')}
</ul></nav>
</header>
`;
}

const FOOTER = `<footer class="site-foot">
<p>Associations in a roster are not proof of cause. Stop at pain: wrist, elbow and back complaints, and anything unusual in a child's growth,
belong to a licensed clinician. Measuring people needs their consent, a guardian's for a minor.</p>
<p>These pages ask the network for nothing. <a href="/cite.html">How to cite</a>, licence and <a href="/changelog.html">changes</a>.</p>
</footer>
`;

/** Links that count from the root of the site, as seen from a page. */
export function fromRoot(html: string, path: string): string {
  const up = '../'.repeat(path.split('/').length - 1);
  return html.replaceAll(' href="/', ` href="${up}`);
}

/** The page as HTML: the look of the reports with the navigation of the site around it. */
export function sitePageHtml({ path, title, body, wide = false, scripts = [] }: SitePage): string {
  const html = pageShell({
    title: path === 'index.html' ? title : `${title} - Proving Range`,
    body: wide ? `<div class="wide-content">\n${body}\n</div>` : body,
    figures: [],
    header: navigation(path),
    footer: FOOTER,
    style: siteStyle,
    scripts,
  });
  return fromRoot(html, path);
}

/** A text as an id: lower-case letters, digits and hyphens. */
export const idOf = (text: string): string =>
  text
    .toLowerCase()
    .replace(/[^\p{L}\p{N}_]+/gu, '-')
    .replace(/^-+|-+$/g, '') || 'part';

/** Ids for the headings of one page, each given once. */
export function ids(): (text: string) => string {
  const given = new Map<string, number>();
  return (text) => {
    const id = idOf(text);
    const times = (given.get(id) ?? 0) + 1;
    given.set(id, times);
    return times === 1 ? id : `${id}-${times}`;
  };
}

/** A name of code that may break after an underscore or a point, so that it fits a phone. */
export const breakable = (name: string): string => escapeMarkup(name).replace(/([_.\]])(?=\w)/g, '$1<wbr>');

/** A sentence in which what stands between backticks is code. */
export const spokenHtml = (text: string): string =>
  text
    .split('`')
    .map((part, k) => (k % 2 === 1 ? code(part) : escapeMarkup(part)))
    .join('');

export const code = (text: string): string => `<code>${breakable(text)}</code>`;

/**
 * A table whose rows become blocks on a phone; the roles say that it still is a table there. A row is `<tr>`, a `<th scope="row">`
 * and its `<td>`s.
 */
export function tableHtml(label: string, heads: readonly string[], rows: readonly string[]): string {
  const body = rows
    .join('\n')
    .replaceAll('<tr', '<tr role="row"')
    .replaceAll('<th scope="row"', '<th scope="row" role="rowheader"')
    .replaceAll('<td', '<td role="cell"');
  return `<table class="stack" role="table" aria-label="${escapeMarkup(label)}">
<thead role="rowgroup"><tr role="row">${heads.map((head) => `<th scope="col" role="columnheader">${head}</th>`).join('')}</tr></thead>
<tbody role="rowgroup">
${body}
</tbody></table>`;
}
