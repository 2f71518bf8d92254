import { readFileSync } from 'node:fs';
import { dirname, join, posix, relative, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { markdownToHtml } from '../../src/report/index.ts';
import { type Entry, ids, type SitePage } from './page.ts';
import { pictureHtml } from './pictures.ts';

export const ROOT = fileURLToPath(new URL('../..', import.meta.url));

/** Where the files that texts point to stand on the site; everything else loses its link and keeps its words. */
const PLACES: Readonly<Record<string, string>> = {
  'README.md': '/readme.html',
  'CHANGELOG.md': '/changelog.html',
  'CITATION.cff': '/cite.html',
  'DEVELOPERS.md': '/developers.html',
  'synthetic/README.md': '/cohorts.html',
  'src/dataset/sums/README.md': '/federation.html',
  'notebooks/README.md': '/notebooks/index.html',
  'reports/metric-catalogue/metric-catalogue.html': '/metrics.html',
  'reports/angle-notebook/angle.html': '/notebooks/angle.html',
  'reports/calibration': '/reports/calibration.html',
  'src/cli/specs': '/commands.html',
  'src/kinematics/angle': '/library/kinematics-angle.html',
  'data-schemas/tables': '/tables.html',
  'data-schemas/plan.schema.json': '/json/plan.html',
  'data-schemas/layout.schema.json': '/json/layout.html',
  'data-schemas/model.schema.json': '/json/model.html',
  'data-schemas/recipe.schema.json': '/json/recipe.html',
  'data-schemas/import-mapping.schema.json': '/json/import-mapping.html',
  'notebooks/tutorials/coach.md': '/tutorials/coach.html',
  'notebooks/tutorials/director.md': '/tutorials/director.html',
  'notebooks/tutorials/student.md': '/tutorials/student.html',
};

/** Where a link in a file of the project leads on the site; null where the site has no such page. */
export function siteAddress(file: string, address: string): string | null {
  const [path = '', anchor] = address.split('#');
  const goal = posix.join(posix.dirname(file), path).replace(/\/$/, '');
  const command = /^src\/cli\/specs\/([\w-]+)\.ts$/.exec(goal)?.[1];
  if (command !== undefined) return `/commands.html#${command}`;
  const place = PLACES[goal];
  return place === undefined ? null : `${place}${anchor === undefined ? '' : `#${anchor}`}`;
}

export interface TextPage {
  readonly page: SitePage;
  readonly entries: readonly Entry[];
}

/** A Markdown file of the project as a page, its headings as places that the search finds. */
export function textPage(
  file: string,
  path: string,
  kind: string,
  options: { readonly crumb?: string; readonly title?: string } = {},
): TextPage {
  const text = readFileSync(join(ROOT, file), 'utf8');
  const [title = options.title ?? '', ...lines] = headed(text, options.title);
  const { html, entries } = textHtml(lines.join('\n'), file, path, kind);
  return {
    page: {
      path,
      title,
      body: `${options.crumb ?? ''}<h1>${markdownToHtml(title)
        .trim()
        .replace(/^<p>|<\/p>$/g, '')}</h1>\n${html}`,
    },
    entries: [{ name: title, href: `/${path}`, kind, words: '' }, ...entries],
  };
}

/** The title and the lines after it. */
function headed(text: string, title?: string): string[] {
  const lines = text.split('\n');
  const first = lines.findIndex((line) => line.startsWith('# '));
  return [title ?? lines[first]!.slice(2), ...lines.slice(first + 1)];
}

/** Markdown of a file of the project as HTML, with ids at its headings and its links leading into the site. */
export function textHtml(
  markdown: string,
  file: string,
  path: string,
  kind: string,
): { readonly html: string; readonly entries: readonly Entry[] } {
  const idFor = ids();
  const entries: Entry[] = [];
  const html = markdownToHtml(markdown, {
    linkTo: (address) => siteAddress(file, address),
    picture: (address, words) =>
      pictureHtml(
        relative(ROOT, join(ROOT, dirname(file), address))
          .split(sep)
          .join('/'),
        words,
      ),
    headingId: (words) => {
      const id = idFor(words);
      entries.push({
        name: words.replaceAll('`', '').replace(/^\d+\. /, ''),
        href: `/${path}#${id}`,
        kind,
        words: '',
      });
      return id;
    },
  })
    .replaceAll('<pre>', '<pre tabindex="0">')
    .replace(/<code>(--[\w-]{1,20})<\/code>/g, '<code class="whole">$1</code>')
    // A line that is too long for a phone breaks between words, not after the dashes of an option.
    .replace(/<pre [\s\S]*?<\/pre>/g, (block) =>
      block.replace(/(^|\s)(--[\w-]{1,20})(?=\s)/g, '$1<span class="whole">$2</span>'),
    )
    .replace(/<p>(<figure[\s\S]*?<\/figure>)<\/p>/g, '$1');
  return { html, entries };
}
