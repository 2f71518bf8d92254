import { escapeMarkup, markdownToHtml } from '../../../src/report/index.ts';
import type { Docstring } from './docstring.ts';
import { linkNames, type NameLink } from './names.ts';
import type { PublicExport } from './read-exports.ts';

/** One public name on its page: declaration, text, and the rest of its docstring part by part. */
export function entryHtml(entry: PublicExport, link: NameLink): string {
  const { area, name, kind, docstring, file } = entry;
  return `<article class="entry" id="${name}" aria-labelledby="name-${name}">
<h2 id="name-${name}"><code>${escapeMarkup(name)}</code> <span class="kind">${kind}</span></h2>
${docstring === null ? '' : prose(docstring.text, area, link, name)}
<pre class="declaration" tabindex="0"><code>${declarationHtml(entry, link)}</code></pre>
${docstring === null ? '' : partsHtml(docstring, area, link, name)}
<p class="kind">${escapeMarkup(file)}</p>
</article>`;
}

const prose = (text: string, area: string, link: NameLink, self: string): string =>
  linkNames(docMarkdown(text), area, link, self);

/** A docstring is plain text with code, lists and tables in it: a lone star or underscore is itself. */
const docMarkdown = (text: string): string =>
  markdownToHtml(
    text
      .split('`')
      .map((part, k) => (k % 2 === 1 ? part : part.replace(/[*_<>[\]~]/g, '\\$&')))
      .join('`'),
  );

function partsHtml(docstring: Docstring, area: string, link: NameLink, self: string): string {
  const words = (text: string) => prose(text, area, link, self);
  const parts: [string, string][] = [];
  if (docstring.parameters.length > 0)
    parts.push([
      'Takes',
      `<ul>${docstring.parameters.map((one) => `<li><code>${escapeMarkup(one.name)}</code>: ${inline(words(one.words))}</li>`).join('')}</ul>`,
    ]);
  if (docstring.returns !== null) parts.push(['Gives', words(docstring.returns)]);
  if (docstring.errors.length > 0) parts.push(['Errors thrown', docstring.errors.map(words).join('')]);
  if (docstring.sources.length > 0) parts.push(['Source', docstring.sources.map(words).join('')]);
  if (docstring.examples.length + docstring.toldExamples.length > 0)
    parts.push([
      'Example',
      [
        ...docstring.toldExamples.map(words),
        ...docstring.examples.map((text) => `<pre tabindex="0"><code>${escapeMarkup(text)}</code></pre>`),
      ].join(''),
    ]);
  if (parts.length === 0) return '';
  return `<dl class="parts">${parts.map(([name, html]) => `<dt>${name}</dt><dd>${html}</dd>`).join('\n')}</dl>`;
}

const inline = (html: string): string => html.trim().replace(/^<p>([\s\S]*)<\/p>$/, '$1');

/** The declaration with its comments set back and each type of ours leading to where it is told of. */
function declarationHtml({ declaration, area, name }: PublicExport, link: NameLink): string {
  return declaration
    .split(/(\/\*\*[\s\S]*?\*\/|\/\/[^\n]*)/)
    .map((part, k) => (k % 2 === 1 ? `<span class="note-line">${escapeMarkup(part)}</span>` : types(part)))
    .join('');

  function types(text: string): string {
    return text
      .split(/('(?:[^'\\]|\\.)*'|[A-Z]\w*)/)
      .map((part) => {
        const href = /^[A-Z]\w*$/.test(part) && part !== name ? link(part, area) : null;
        return href === null ? escapeMarkup(part) : `<a href="${href}">${escapeMarkup(part)}</a>`;
      })
      .join('');
  }
}
