import ts from 'typescript';

/** A docstring taken apart. Texts are Markdown. */
export interface Docstring {
  /** What it is and does, with units and signs. */
  readonly text: string;
  readonly parameters: readonly { readonly name: string; readonly words: string }[];
  readonly returns: string | null;
  readonly errors: readonly string[];
  readonly sources: readonly string[];
  /** In TypeScript, with their results. */
  readonly examples: readonly string[];
  /** Examples that are told in a sentence. */
  readonly toldExamples: readonly string[];
}

/** The docstring that stands right before a declaration; null where there is none. */
export function readDocstring(node: ts.Declaration): Docstring | null {
  const statement = ts.isVariableDeclaration(node) ? node.parent.parent : node;
  const source = statement.getSourceFile().text;
  const comment = ts
    .getLeadingCommentRanges(source, statement.getFullStart())
    ?.filter(({ pos }) => source.startsWith('/**', pos))
    .at(-1);
  return comment === undefined ? null : parseDocstring(source.slice(comment.pos, comment.end));
}

/**
 * A docstring taken apart by its tags and by the words with which paragraphs begin.
 * @example parseDocstring('/** Adds. @example add(1, 2) // 3 *\/').examples // ['add(1, 2) // 3']
 */
export function parseDocstring(comment: string): Docstring {
  const lines = comment
    .replace(/^\/\*\*/, '')
    .replace(/\*\/$/, '')
    .split('\n')
    .map((line) => line.replace(/^\s*\* ?/, '').trimEnd());
  const blocks: { tag: string; text: string }[] = [{ tag: '', text: '' }];
  for (const line of lines) {
    const tag = /^\s*@([a-z]+)\s?(.*)$/i.exec(line);
    if (tag !== null) blocks.push({ tag: tag[1]!, text: tag[2]! });
    else blocks[blocks.length - 1]!.text += `\n${line}`;
  }
  const of = (...tags: string[]) =>
    blocks.filter(({ tag }) => tags.includes(tag)).map(({ text }) => linksAsCode(text.trim()));
  const { text, errors, sources, examples } = paragraphs(of('')[0]!);
  return {
    text,
    parameters: of('param').map((words) => {
      const [, name, rest] = /^(?:\{[^}]*\}\s*)?([\w.[\]]+)\s*-?\s*([\s\S]*)$/.exec(words) ?? ['', words, ''];
      return { name: name!, words: rest! };
    }),
    returns: of('returns', 'return')[0] ?? null,
    errors: [...errors, ...of('throws')],
    sources: [...sources, ...of('see')],
    examples: of('example').map(unfenced),
    toldExamples: examples,
  };
}

/** Paragraphs that begin with `Source`, `Throws` or `Example` out of the text, in their own places. */
function paragraphs(text: string): { text: string; errors: string[]; sources: string[]; examples: string[] } {
  const parts = { errors: [] as string[], sources: [] as string[], examples: [] as string[] };
  const rest = text.split(/\n\s*\n|\n(?=(?:Source|Sources|Example|Throws)\b)/).filter((paragraph) => {
    const words = paragraph.trim();
    if (/^Sources?: /.test(words)) parts.sources.push(words.replace(/^Sources?: /, ''));
    else if (/^Throws /.test(words)) parts.errors.push(words.replace(/^Throws /, ''));
    else if (/^Example: /.test(words)) parts.examples.push(words.replace(/^Example: /, ''));
    else return true;
    return false;
  });
  return { text: rest.join('\n\n').trim(), ...parts };
}

/** `{@link name}` as `name`. */
const linksAsCode = (text: string): string => text.replace(/\{@link ([^}|\s]+)[^}]*\}/g, '`$1`');

const unfenced = (text: string): string => text.replace(/^```\w*\n?/, '').replace(/\n?```$/, '');
