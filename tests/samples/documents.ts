import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import MarkdownIt from 'markdown-it';

/** The folder of the project, from which a reader types. */
export const PROJECT = fileURLToPath(new URL('../../', import.meta.url));

/** A block of code in a document. */
export interface Sample {
  readonly document: string;
  /** The line of the document on which the code begins, from 1. */
  readonly line: number;
  /** What stands after the fence; `sh` for an indented block of commands, which has no such word. */
  readonly language: string;
  readonly text: string;
  /** The name under which the paragraph before it says to save it. */
  readonly file: string | null;
}

/** Every document whose samples are run: the texts a reader is sent to. */
export function documents(): readonly string[] {
  const under = (folder: string) =>
    readdirSync(`${PROJECT}${folder}`, { recursive: true, encoding: 'utf8' })
      .filter((name) => name.endsWith('.md'))
      .map((name) => `${folder}/${name}`);
  return [
    'README.md',
    'DEVELOPERS.md',
    'CHANGELOG.md',
    ...under('notebooks'),
    ...under('synthetic'),
    ...under('src'),
  ].sort();
}

/** The blocks of code of one document, in its order. */
export function samplesOf(document: string): readonly Sample[] {
  const tokens = new MarkdownIt().parse(readFileSync(`${PROJECT}${document}`, 'utf8'), {});
  let before = '';
  return tokens.flatMap((token) => {
    if (token.type === 'inline') before = token.content;
    if (token.type !== 'fence' && token.type !== 'code_block') return [];
    const indented = token.type === 'code_block';
    return {
      document,
      line: token.map![0] + (indented ? 1 : 2),
      language: indented && /^\s*(npm|npx) /.test(token.content) ? 'sh' : token.info.trim().split(' ')[0]!,
      text: token.content,
      file: /\b[Ss]ave (?:this |it )?as `([^`]+\.json)`[^`]*$/.exec(before)?.[1] ?? null,
    };
  });
}

/** What stands between backticks in the running text. */
export function wordsOf(document: string): readonly { readonly line: number; readonly text: string }[] {
  const tokens = new MarkdownIt().parse(readFileSync(`${PROJECT}${document}`, 'utf8'), {});
  let line = 0;
  return tokens.flatMap((token) => {
    // A cell of a table has no line of its own, its row has.
    line = token.map === null ? line : token.map[0] + 1;
    const code = (token.children ?? []).filter(({ type }) => type === 'code_inline');
    return code.map(({ content }) => ({ line, text: content }));
  });
}
