import CommonMark, { type MarkdownIt, type Token } from 'markdown-it';
import { escapeMarkup, visibleText } from './escape.ts';

/** How a text in Markdown fits into the page around it. */
export interface MarkdownOptions {
  /** Added to every heading's level, so that a text fits under the headings around it. Default 0. */
  readonly headingOffset?: number;
  /** Where a link that leads neither to the web nor within the page goes; null leaves its words alone. */
  readonly linkTo?: (address: string) => string | null;
  /** The HTML of a picture; null leaves its words alone. */
  readonly picture?: (address: string, words: string) => string | null;
  /** The id of a heading by its text. Default none. */
  readonly headingId?: (text: string) => string;
}

const isSafe = (url: string): boolean => /^(https?:|mailto:|#)/i.test(url.trim());

/** Markup in the text is shown as text; pictures become their words, since a page loads nothing. */
function reader(options: MarkdownOptions): MarkdownIt {
  const { headingOffset = 0, linkTo, picture, headingId } = options;
  const markdown = new CommonMark('commonmark', { html: false }).enable(['table', 'strikethrough']);
  markdown.renderer.rules.image = (tokens, k) => {
    const words = tokens[k]?.content ?? '';
    return picture?.(String(tokens[k]?.attrGet('src') ?? ''), words) ?? escapeMarkup(words);
  };
  // With a mapping, every address comes as far as `mapLinks`, which lets no other than a safe or a mapped one through.
  markdown.validateLink = (url) => isSafe(url) || linkTo !== undefined || picture !== undefined;
  markdown.core.ruler.push('links', ({ tokens }) => {
    for (const token of tokens) if (token.children) token.children = mapLinks(token.children, linkTo);
  });
  markdown.core.ruler.push('heading-offset', (state) => {
    for (const [k, token] of state.tokens.entries()) {
      if (token.type !== 'heading_open' && token.type !== 'heading_close') continue;
      token.tag = `h${Math.min(6, Number(token.tag.slice(1)) + headingOffset)}`;
      if (token.type === 'heading_open' && headingId !== undefined)
        token.attrSet('id', headingId(state.tokens[k + 1]?.content ?? ''));
    }
  });
  markdown.renderer.rules.table_open = () =>
    '<div class="scroll" role="group" tabindex="0" aria-label="Table">\n<table>\n';
  markdown.renderer.rules.table_close = () => '</table>\n</div>\n';
  return markdown;
}

/** Links to the web or within the page as they are, others where `linkTo` leads, or as their words alone. */
function mapLinks(tokens: readonly Token[], linkTo: MarkdownOptions['linkTo']): Token[] {
  const kept: boolean[] = [];
  return tokens.filter((token) => {
    if (token.type === 'link_close') return kept.pop() ?? true;
    if (token.type !== 'link_open') return true;
    const address = String(token.attrGet('href') ?? '');
    const goal = isSafe(address) ? address : (linkTo?.(address) ?? null);
    if (goal !== null) token.attrSet('href', goal);
    kept.push(goal !== null);
    return goal !== null;
  });
}

/**
 * Markdown text as HTML. Tags in it are shown, not obeyed; links lead only to the web, to mail, within the
 * page or where `linkTo` says; pictures are not loaded.
 * @example markdownToHtml('a *b* <i>c</i>') // '<p>a <em>b</em> &lt;i&gt;c&lt;/i&gt;</p>\n'
 */
export function markdownToHtml(text: string, options: MarkdownOptions = {}): string {
  return reader(options).render(visibleText(text.replaceAll('\r\n', '\n')));
}
