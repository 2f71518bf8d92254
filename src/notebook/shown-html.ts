import {
  dataTableHtml,
  escapeMarkup,
  figureHtml,
  findingSummaryHtml,
  markdownToHtml,
  motionPictureHtml,
} from '../report/index.ts';
import type { Shown } from './child-events.ts';
import { tableCaption } from './mime-bundle.ts';

/** Longest text shown whole in a cell of a table. */
const LONGEST_TEXT = 600;

/** A value as it stands on the page; its headings go below the level `above`. */
export function shownHtml(shown: Shown, above: number): string {
  switch (shown.kind) {
    case 'figure':
      return figureHtml(shown.figure, { headingLevel: Math.min(6, above + 1) });
    case 'motion':
      return motionPictureHtml(shown.motion, Math.min(6, above + 1));
    case 'finding':
      return findingSummaryHtml(shown.finding);
    case 'table':
      return dataTableHtml(shown.table, {
        caption: tableCaption(shown.table, shown.rows),
        longest: LONGEST_TEXT,
      });
    case 'markdown':
      return markdownToHtml(shown.text, { headingOffset: above });
    case 'text':
    case 'data':
      return `<pre>${escapeMarkup(shown.text)}</pre>`;
  }
}
