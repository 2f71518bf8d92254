import type { Finding, ReportingChecklist, ReportingItem } from '../studies/index.ts';
import { capital } from './estimate-html.ts';
import type { FigureTable } from './figure.ts';
import { section } from './finding-sections.ts';
import { proseHtml } from './text-html.ts';

const states: Readonly<Record<ReportingItem['state'], readonly [string, string]>> = {
  stated: ['good', 'stated'],
  partly: ['look', 'in part'],
  missing: ['bad', 'missing'],
};

/** What a report of this should state: what is missing first, in sight; the whole list folded. */
export function reportingSection({ reporting }: Finding): string {
  if (reporting === undefined) return '';
  const list = (items: readonly ReportingItem[]) =>
    `<ul class="checks">\n${items
      .map(({ guideline, asks, state, words }) => {
        const [look, label] = states[state];
        return `<li><b>${proseHtml(capital(asks))}</b> <span class="state ${look}">${label}</span> <span class="fine">${guideline}</span><br>${proseHtml(words)}</li>`;
      })
      .join('\n')}\n</ul>`;
  return section(
    'What a report of this should state',
    `<p>${reporting.stated} of ${reporting.items.length} items are stated, ${reporting.partly} in part, ${reporting.missing} not. What only the people who ran it know is written in the plan, under statements.</p>
<details><summary>All items, with what is missing and where to write it</summary>\n${list(reporting.items)}\n</details>`,
  );
}

/** The checklist as a table of its own. */
export function reportingTable({ items }: ReportingChecklist): FigureTable {
  return {
    columns: [
      { key: 'guideline', label: 'list' },
      { key: 'asks', label: 'what a reader should find' },
      { key: 'state', label: 'state' },
      { key: 'words', label: 'what is stated, or what to write' },
    ],
    rows: items.map(({ guideline, asks, state, words }) => ({
      guideline,
      asks,
      state: states[state][1],
      words,
    })),
  };
}
