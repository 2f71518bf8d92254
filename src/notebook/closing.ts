import type { Finding } from '../studies/index.ts';
import { type MarkdownText, notebook } from './context.ts';

/**
 * How a notebook ends: the answer, whether it was planned, what would change it, and what to read with it.
 *
 * @param alsoChanging what would change the answer and is not in the Finding, a sentence each
 * @example closing(finding, ['A cause at work in one arm only would look the same.']).text.includes('would look the same') // true
 */
export function closing(
  finding: Pick<
    Finding,
    | 'answer'
    | 'cautions'
    | 'checks'
    | 'next'
    | 'planned'
    | 'sensitivity'
    | 'smallestChange'
    | 'verdict'
    | 'warnings'
  >,
  alsoChanging: readonly string[] = [],
): MarkdownText {
  const { answer, planned, verdict, sensitivity, checks, smallestChange: smallest } = finding;
  const others = sensitivity.filter((entry) => entry.verdict !== verdict).map(({ name }) => name);
  const worries = checks
    .filter(({ outcome }) => outcome === 'look' || outcome === 'bad')
    .map(({ name }) => name);
  const changing = [
    ...(sensitivity.length === 0
      ? []
      : others.length === 0
        ? ['Not another way of asking: none of those tried above gave another verdict.']
        : [`Another way of asking. Asked so, the verdict is another: ${others.join('; ')}.`]),
    ...(smallest === null
      ? ['A word on how small a change would matter: nothing in the data says it.']
      : [
          `Another idea of what matters than ${Number(smallest.value.toPrecision(3))} ${smallest.unit}. ${smallest.why}`,
        ]),
    ...(worries.length === 0
      ? []
      : [
          `What these checks found, which ask for a second look before the answer is relied on: ${worries.join('; ')}.`,
        ]),
    ...alsoChanging,
  ];
  return notebook.markdown(
    [
      `**${answer}**`,
      planned.words,
      'What would change it:',
      listed(changing),
      ...(finding.next === undefined || finding.next.length === 0
        ? []
        : ['What to do next:', listed(finding.next)]),
      'And read this with it:',
      listed([...finding.warnings, ...finding.cautions]),
    ].join('\n\n'),
  );
}

function listed(items: readonly string[]): string {
  return items.map((item) => `- ${item}`).join('\n');
}
