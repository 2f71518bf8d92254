import CommonMark, { type MarkdownIt } from 'markdown-it';
import { escapeMarkup, visibleText } from './escape.ts';

/** How a text in Markdown fits into the page around it. */
export interface MarkdownOptions {
  /** Added to every heading's level, so that a text fits under the headings around it. Default 0. */
  readonly headingOffset?: number;
}

/** Markup in the text is shown as text; pictures become their words, since a page loads nothing. */
function reader(offset: number): MarkdownIt {
  const markdown = new CommonMark('commonmark', { html: false }).enable(['table', 'strikethrough']);
  markdown.renderer.rules.image = (tokens, k) => escapeMarkup(tokens[k]?.content ?? '');
  markdown.validateLink = (url) => /^(https?:|mailto:|#)/i.test(url.trim());
  markdown.core.ruler.push('heading-offset', (state) => {
    for (const token of state.tokens) {
      if (token.type !== 'heading_open' && token.type !== 'heading_close') continue;
      token.tag = `h${Math.min(6, Number(token.tag.slice(1)) + offset)}`;
    }
  });
  markdown.renderer.rules.table_open = () =>
    '<div class="scroll" role="group" tabindex="0" aria-label="Table">\n<table>\n';
  markdown.renderer.rules.table_close = () => '</table>\n</div>\n';
  return markdown;
}

/**
 * Markdown text as HTML. Tags in it are shown, not obeyed; links lead only to the web, to mail or within the
 * page; pictures are not loaded.
 * @example markdownToHtml('a *b* <i>c</i>') // '<p>a <em>b</em> &lt;i&gt;c&lt;/i&gt;</p>\n'
 */
export function markdownToHtml(text: string, options: MarkdownOptions = {}): string {
  return reader(options.headingOffset ?? 0).render(visibleText(text.replaceAll('\r\n', '\n')));
}
