import type { Finding } from '../studies/index.ts';
import { section } from './finding-sections.ts';
import { proseHtml } from './text-html.ts';

/** What to do next, the most useful first; empty where the study says nothing of it. */
export function nextSection({ next = [] }: Finding): string {
  if (next.length === 0) return '';
  return section(
    'What to do next',
    `<ol>\n${next.map((step) => `<li>${proseHtml(step)}</li>`).join('\n')}\n</ol>`,
  );
}
