import { createHash } from 'node:crypto';
import { escapeMarkup, jsonForScript, shortLabel } from './escape.ts';
import type { Figure } from './figure.ts';
import { pageScript } from './page-script.ts';
import { pageStyle } from './page-style.ts';
import { darkOf } from './palette.ts';
import { plotlyBundle } from './plotly-bundle.ts';
import { figurePayload } from './plotly-figure.ts';

/** What a page is made of. */
export interface PageShellOptions {
  /** The name of the page in the browser's tab. */
  readonly title: string;
  /** HTML of the page, with one `h1`; every text in it already escaped. */
  readonly body: string;
  /** The figures that `body` shows by `figureHtml`, in order; none leaves the drawing script out. */
  readonly figures: readonly Figure[];
  /** Data for other programs, by element id, each in a JSON block that a browser does not run. */
  readonly data?: Readonly<Record<string, unknown>>;
  /** HTML before and after the content, such as the navigation of a site. */
  readonly header?: string;
  readonly footer?: string;
  /** Style beyond that of every page. */
  readonly style?: string;
  /** Scripts of the page's own, after those of the figures. */
  readonly scripts?: readonly string[];
}

const hash = (script: string): string =>
  `'sha256-${createHash('sha256').update(script, 'utf8').digest('base64')}'`;

/**
 * A whole HTML page in one file that asks the network for nothing: its policy allows its own scripts, by
 * their hash, and inline style. The same options give the same bytes.
 *
 * Throws an Error where two figures share an id.
 * @example pageShell({ title: 'A page', body: '<h1>A page</h1>', figures: [] }).startsWith('<!doctype html>') // true
 */
export function pageShell(options: PageShellOptions): string {
  const { title, body, figures, data = {}, header = '', footer = '', style = '' } = options;
  const ids = figures.map(({ id }) => id);
  const twice = ids.find((id, k) => ids.indexOf(id) !== k);
  if (twice !== undefined) {
    throw new Error(`pageShell: two figures have the id '${twice}'; give each figure of a page its own id`);
  }
  const scripts = [...(figures.length === 0 ? [] : [plotlyBundle(), pageScript]), ...(options.scripts ?? [])];
  const allowed = scripts.length === 0 ? "'none'" : scripts.map(hash).join(' ');
  const policy = `default-src 'none'; script-src ${allowed}; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'`;
  const blocks = Object.entries(data).map(
    ([id, value]) =>
      `<script type="application/json" id="${escapeMarkup(id)}">${jsonForScript(value)}</script>`,
  );
  if (figures.length > 0) {
    const payload = { dark: darkOf(), figures: figures.map(figurePayload) };
    blocks.push(`<script type="application/json" id="figures">${jsonForScript(payload)}</script>`);
  }
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="referrer" content="no-referrer">
<title>${escapeMarkup(shortLabel(title, 120))}</title>
<style>
${pageStyle()}${style}
</style>
</head>
<body>
<a class="skip" href="#main">Skip to the content</a>
${header}<main id="main" tabindex="-1">
${body}
</main>
${footer}${[...blocks, ...scripts.map((script) => `<script>${script}</script>`)].join('\n')}
</body>
</html>
`;
}
