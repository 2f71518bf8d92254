import { readFileSync } from 'node:fs';
import MarkdownIt from 'markdown-it';
import { PROJECT } from './documents.ts';

/** Quotations in the tutorials that are no output: what a paper, a person or a page might say. */
export const NOT_OUTPUT: readonly string[] = [
  'Cannot be told',
  'Second of six',
  'the best instructor',
  'equal',
  'elbow flexion was 16 degrees',
  'elbow flexion',
];

/** Quotations of the output of a command that the everyday test makes small. */
export const ONLY_IN_FULL: readonly string[] = [
  "80 golfers (40 in each arm ...) have 80% chance of the verdict 'a change that matters' if the drill truly makes shaft lean at impact 2.2 deg further forward.",
];

/** What stands between double quotes in the running text of a tutorial. */
export function quotationsOf(document: string): readonly { readonly line: number; readonly text: string }[] {
  if (!document.startsWith('notebooks/tutorials/')) return [];
  const tokens = new MarkdownIt().parse(readFileSync(`${PROJECT}${document}`, 'utf8'), {});
  return tokens.flatMap((token) => {
    const text = (token.children ?? [])
      .map(({ type, content }) =>
        type === 'softbreak' ? ' ' : type === 'code_inline' ? `\`${content}\`` : content,
      )
      .join('');
    return [...text.matchAll(/"([^"]+)"/g)].map(([, quoted]) => ({ line: token.map![0] + 1, text: quoted! }));
  });
}

/** Whether the output has the quotation; `...` stand for what is left out, and a capital may begin what was inside a sentence. */
export function holds(output: string, quotation: string): boolean {
  let at = 0;
  // A text for reading may write the sign of a unit as a word.
  const plain = output.replaceAll('\u2212', '-').replaceAll('°', ' deg');
  for (const part of quotation
    .replaceAll('°', ' deg')
    .split('...')
    .map((words) => words.trim().replace(/[.,;]$/, ''))) {
    const inside = part.charAt(0).toLowerCase() + part.slice(1);
    const found = [part, inside].map((words) => plain.indexOf(words, at)).find((place) => place >= 0);
    if (found === undefined) return false;
    at = found + part.length;
  }
  return true;
}
