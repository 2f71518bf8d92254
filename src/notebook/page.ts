import { escapeMarkup, type Figure, markdownToHtml, pageShell } from '../report/index.ts';
import type { NotebookCell } from './cell.ts';
import type { CellError } from './child-events.ts';
import { codeHtml } from './code-html.ts';
import type { CellOutput, CellRun, NotebookRuns } from './execution.ts';
import { NOT_RUN_WORDS } from './ipynb.ts';
import { notebookStyle } from './page-style.ts';
import type { NotebookProvenance } from './provenance.ts';
import { shownHtml } from './shown-html.ts';

/** A table with more rows scrolls within its own box. */
const LONG_TABLE = 25;

/**
 * A run notebook as one HTML page that needs no network: text, code with the notebook's own line numbers, and
 * what each cell showed; at its foot, what it came from. The same run gives the same bytes.
 */
export function notebookPage(
  cells: readonly NotebookCell[],
  runs: NotebookRuns,
  provenance: NotebookProvenance,
): string {
  const texts = cells.map((cell) => (cell.kind === 'markdown' ? markdownToHtml(cell.source) : ''));
  const head = texts.findIndex((html) => html.includes('<h1>'));
  const title = /<h1>(.*?)<\/h1>/s.exec(texts[head] ?? '')?.[1];
  // The level of the heading above: what a cell shows goes one level below it, so that no level is left out.
  let above = 1;
  const blocks = cells.map((cell, index) => {
    if (cell.kind === 'raw') return `<pre>${escapeMarkup(cell.source)}</pre>`;
    if (cell.kind === 'code') return codeCell(cell, index, runs.get(index), above);
    // One first heading a page: those of later cells go one step down.
    const first = index !== head && texts[index]?.includes('<h1>');
    const html = first === true ? markdownToHtml(cell.source, { headingOffset: 1 }) : (texts[index] ?? '');
    above = Number([...html.matchAll(/<h([1-6])>/g)].at(-1)?.[1] ?? above);
    return html;
  });
  const body = [
    `<style>${notebookStyle}</style>`,
    `<p class="over">Notebook <bdi>${escapeMarkup(provenance.notebook.file)}</bdi></p>`,
    title === undefined ? `<h1>${escapeMarkup(provenance.notebook.file)}</h1>` : '',
    stoppedNote(cells, runs),
    ...blocks,
    foot(provenance),
  ];
  return pageShell({
    title: title === undefined ? provenance.notebook.file : plain(title),
    body: body.filter((part) => part !== '').join('\n'),
    figures: figuresOf(runs),
    data: { provenance },
  });
}

function codeCell(cell: NotebookCell, index: number, run: CellRun | undefined, above: number): string {
  if (cell.source.trim() === '' && (run?.outputs.length ?? 0) === 0) return '';
  const last = cell.firstLine + cell.source.split('\n').length - 1;
  const name = last === cell.firstLine ? `line ${last}` : `lines ${cell.firstLine} to ${last}`;
  const code = `<pre class="code"><code>${codeHtml(cell.source, cell.firstLine)}</code></pre>`;
  const folded = hasTag(cell, 'hide-input')
    ? `<details><summary>Code, ${name}</summary>${code}</details>`
    : code;
  const outputs =
    run === undefined || run.status === 'not-run'
      ? `<div class="output soft"><p>${NOT_RUN_WORDS}</p></div>`
      : run.outputs.map((output) => outputHtml(output, above)).join('\n');
  const title = cell.title === '' ? '' : `<p class="cell-title">${escapeMarkup(cell.title)}</p>\n`;
  return `<div class="cell" id="cell-${index + 1}">\n${title}${folded}\n${outputs}\n</div>`;
}

function hasTag(cell: NotebookCell, tag: string): boolean {
  const { tags } = cell.metadata;
  return Array.isArray(tags) && tags.includes(tag);
}

function outputHtml(output: CellOutput, above: number): string {
  switch (output.type) {
    case 'stream':
      return `<div class="output"><pre>${escapeMarkup(output.text.replace(/\n$/, ''))}</pre></div>`;
    case 'cut':
      return `<div class="output soft"><p>${escapeMarkup(output.words)}</p></div>`;
    case 'shown': {
      const { shown } = output;
      const size = shown.kind !== 'table' ? '' : shown.table.rows.length > LONG_TABLE ? ' long' : ' brief';
      return `<div class="output${size}">${shownHtml(shown, above)}</div>`;
    }
    case 'error':
      return `<div class="stopped">${errorHtml(output.error)}</div>`;
  }
}

function errorHtml({ name, message, line, trail }: CellError): string {
  const where = line === null ? '' : ` in line ${line}`;
  const way = trail.length > 1 ? `<p class="soft">${escapeMarkup(trail.join('; '))}</p>` : '';
  return `<p><b>${escapeMarkup(name)}${where}</b></p><pre>${escapeMarkup(message)}</pre>${way}`;
}

function stoppedNote(cells: readonly NotebookCell[], runs: NotebookRuns): string {
  const failed = [...runs].find(([, run]) => run.status === 'failed');
  if (failed === undefined) return '';
  const [index, run] = failed;
  const error = run.outputs.find((output) => output.type === 'error')?.error;
  const line = error?.line ?? cells[index]?.firstLine ?? 1;
  return `<div class="note"><p><b>This notebook did not run to its end.</b> It stopped <a href="#cell-${index + 1}">in line ${line}</a>; the cells after it were not run.</p></div>`;
}

function foot({ package: name, version, seed, notebook, data }: NotebookProvenance): string {
  const files = [notebook, ...data].map(
    ({ file, sha256 }) => `<dt><bdi>${escapeMarkup(file)}</bdi></dt><dd class="hash">${sha256}</dd>`,
  );
  return `<footer class="foot"><h2>Where this came from</h2>
<p>Run by ${escapeMarkup(name)} ${escapeMarkup(version)} with the seed ${seed}. The same files give the same page, byte for byte.
The SHA-256 of the notebook${data.length === 0 ? '' : ', and of each file in the folder of data'}:</p>
<dl class="facts-list">${files.join('\n')}</dl>
</footer>`;
}

function figuresOf(runs: NotebookRuns): Figure[] {
  return [...runs.values()].flatMap((run) =>
    run.outputs.flatMap((output) =>
      output.type === 'shown' && output.shown.kind === 'figure' ? [output.shown.figure] : [],
    ),
  );
}

/** The words of a heading that markdownToHtml made: tags out, entities back. */
function plain(html: string): string {
  const entities: Readonly<Record<string, string>> = { lt: '<', gt: '>', quot: '"', amp: '&', '#39': "'" };
  return html
    .replace(/<[^>]*>/g, '')
    .replace(/&(lt|gt|quot|amp|#39);/g, (_, name: string) => entities[name] ?? '');
}
