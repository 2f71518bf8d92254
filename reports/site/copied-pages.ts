import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { escapeMarkup } from '../../src/report/index.ts';
import type { Finding } from '../../src/studies/index.ts';
import type { Entry, SitePart } from './page.ts';
import { ROOT, textHtml } from './text-page.ts';

/** A part with files that are copied as they are: path within the site, and where they come from. */
export interface CopiedPart extends SitePart {
  readonly copies: readonly { readonly path: string; readonly from: string }[];
}

/** The notebooks of the project, by name. */
export const notebookNames = (): string[] =>
  readdirSync(join(ROOT, 'notebooks'))
    .filter((file) => file.endsWith('.ts'))
    .map((file) => file.slice(0, -'.ts'.length))
    .sort();

/** The studies whose page stands in reports/, by name. */
export const reportNames = (): string[] =>
  readdirSync(join(ROOT, 'reports'), { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map(({ name }) => name)
    .filter((name) => readdirSync(join(ROOT, 'reports', name)).includes('finding.json'))
    .sort();

/** What a notebook asks: its first heading, and the paragraph that begins with the question. */
function notebookWords(name: string): { title: string; question: string } {
  const lines = readFileSync(join(ROOT, `notebooks/${name}.ts`), 'utf8')
    .split('\n')
    .map((line) => line.replace(/^\/\/ ?/, ''));
  const title = lines.find((line) => line.startsWith('# '))?.slice(2) ?? name;
  const start = lines.findIndex((line) => line.startsWith('**The question.**'));
  const end = lines.findIndex((line, k) => k > start && line.trim() === '');
  const question = start < 0 ? '' : lines.slice(start, end).join(' ').replace('**The question.** ', '');
  return { title, question };
}

const size = (path: string): string => `${(readFileSync(path).length / 1e6).toFixed(1)} MB`;

/** The notebooks as they were run: pages and .ipynb, byte for byte those of reports/. */
export function notebookPart(): CopiedPart {
  const notebooks = notebookNames().map((name) => {
    const from = join(ROOT, `reports/${name}-notebook/${name}`);
    return { name, ...notebookWords(name), page: `${from}.html`, ipynb: `${from}.ipynb` };
  });
  const items = notebooks.map(
    ({ name, title, question, page }) => `<li><a href="/notebooks/${name}.html">${escapeMarkup(title)}</a>
<span class="kind">page, ${size(page)}; <a href="/notebooks/${name}.ipynb">${name}.ipynb</a></span>
<p>${escapeMarkup(question.replaceAll('*', ''))}</p></li>`,
  );
  const readme = readFileSync(join(ROOT, 'notebooks/README.md'), 'utf8').replace(/^# .*\n/, '');
  const { html, entries } = textHtml(readme, 'notebooks/README.md', 'notebooks/index.html', 'notebooks');
  return {
    pages: [
      {
        path: 'notebooks/index.html',
        title: 'Notebooks',
        body: `<h1>Notebooks</h1>
<p class="lead">One for each question, run from top to bottom on data that come with the project. Each page stands by itself, with its figures to
explore, and is what <code>run</code> writes today, byte for byte; these copies open without the navigation around them.</p>
<ul class="plain">
${items.join('\n')}
</ul>
<section aria-labelledby="run-them"><h2 id="run-them">Run them, and write your own</h2>
${html.replace(/<(\/?)h2/g, '<$1h3')}</section>`,
      },
    ],
    entries: [
      ...notebooks.map(
        ({ name, title, question }): Entry => ({
          name: title,
          href: `/notebooks/${name}.html`,
          kind: 'notebook',
          words: question.replaceAll('*', ''),
        }),
      ),
      ...entries,
    ],
    copies: notebooks.flatMap(({ name, page, ipynb }) => [
      { path: `notebooks/${name}.html`, from: page },
      { path: `notebooks/${name}.ipynb`, from: ipynb },
    ]),
  };
}

/** The page of each study on a cohort of known truth. */
export function reportPart(): CopiedPart {
  const reports = reportNames().map((name) => {
    const folder = join(ROOT, 'reports', name);
    const finding = JSON.parse(readFileSync(join(folder, 'finding.json'), 'utf8')) as Finding;
    return { name, finding, from: join(folder, `${name}.html`) };
  });
  return {
    pages: [
      {
        path: 'reports/index.html',
        title: 'Reports',
        body: `<h1>Reports</h1>
<p class="lead">One page for each question that can be asked, each answered on invented people whose truth is known. This is what you would get for
your own folder.</p>
<ul class="plain">
${reports.map(({ name, finding, from }) => `<li><a href="/reports/${name}.html">${escapeMarkup(finding.question)}</a> <span class="kind">${name}, ${size(from)}</span><p>${escapeMarkup(finding.answer)}</p></li>`).join('\n')}
</ul>
<p>The copies open without the navigation around them. The metrics that they speak of are in the <a href="/metrics.html">catalogue</a>.</p>`,
      },
    ],
    entries: reports.map(({ name, finding }) => ({
      name: finding.question,
      href: `/reports/${name}.html`,
      kind: 'report',
      words: finding.answer,
    })),
    copies: reports.map(({ name, from }) => ({ path: `reports/${name}.html`, from })),
  };
}
