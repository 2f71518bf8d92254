import { parseSync, Visitor } from 'oxc-parser';
import { escapeMarkup } from '../report/index.ts';

const WORDS =
  /\b(?:async|await|break|case|catch|class|const|continue|default|do|else|export|extends|finally|for|from(?=\s*['"])|function|if|import|in|instanceof|interface|let|new|null|of|readonly|return|satisfies|switch|throw|true|false|try|type|typeof|undefined|void|while|yield)\b/g;

interface Span {
  readonly start: number;
  readonly end: number;
  readonly look: 'said' | 'quoted' | 'word';
}

/**
 * Code as HTML, one element a line with its number in the notebook, and with comments (`said`), texts (`quoted`)
 * and the language's own words (`word`) set apart by class. Code that cannot be read comes out plain.
 */
export function codeHtml(source: string, firstLine: number): string {
  const spans = outermost(spansOf(source));
  const pieces: string[] = [];
  let from = 0;
  for (const { start, end, look } of spans) {
    pieces.push(escapeMarkup(source.slice(from, start)));
    // A span that runs over lines is closed and opened again at each line end.
    const parts = source.slice(start, end).split('\n');
    pieces.push(parts.map((part) => `<span class="${look}">${escapeMarkup(part)}</span>`).join('\n'));
    from = end;
  }
  pieces.push(escapeMarkup(source.slice(from)));
  return pieces
    .join('')
    .split('\n')
    .map((line, i) => `<span class="line" data-line="${firstLine + i}">${line}\n</span>`)
    .join('');
}

function spansOf(source: string): Span[] {
  const { program, comments, errors } = parseSync('cell.ts', source, { lang: 'ts', sourceType: 'module' });
  if (errors.length > 0) return [];
  const spans: Span[] = comments.map(({ start, end }) => ({ start, end, look: 'said' }));
  const quoted = ({ start, end }: { start: number; end: number }): void => {
    spans.push({ start, end, look: 'quoted' });
  };
  new Visitor({
    Literal(node) {
      if (typeof node.value === 'string') quoted(node);
    },
    TemplateElement: quoted,
  }).visit(program);
  for (const { 0: word, index } of source.matchAll(WORDS))
    if (!/[.\w$]/.test(source[index - 1] ?? '') && !/^\s*:/.test(source.slice(index + word.length)))
      spans.push({ start: index, end: index + word.length, look: 'word' });
  return spans;
}

/** Spans in order without those that lie within another. */
function outermost(spans: readonly Span[]): Span[] {
  const kept: Span[] = [];
  for (const span of [...spans].sort((a, b) => a.start - b.start || b.end - a.end))
    if (span.start >= (kept.at(-1)?.end ?? 0)) kept.push(span);
  return kept;
}
