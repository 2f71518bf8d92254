import {
  dataTableHtml,
  type FigureTable,
  figureSvg,
  figureToPlotly,
  findingSummaryHtml,
  markdownToHtml,
  motionPictureHtml,
  motionPictureSvg,
  visibleText,
} from '../report/index.ts';
import type { Shown } from './child-events.ts';
import { findingText, tableText } from './plain-text.ts';
import { inThousands } from './run-log.ts';

/** A value in every form a reader of the notebook may be able to show, by media type. */
export type MimeBundle = Readonly<Record<string, unknown>>;

/**
 * The forms of a value, plain text always among them. A figure is a drawing (SVG) and plotly.js JSON; a Finding
 * is its summary and the whole of it as JSON.
 *
 * Throws what the drawing of a figure throws when the figure is not well made.
 */
export function mimeBundle(shown: Shown): MimeBundle {
  const forms = formsOf(shown);
  // An editor shows these two as they are: what would turn or hide the text around it is written out, as on the page.
  const visible = ['text/plain', 'text/markdown'].flatMap((form) => {
    const text = forms[form];
    return typeof text === 'string' ? [[form, visibleText(text)] as const] : [];
  });
  return { ...forms, ...Object.fromEntries(visible) };
}

function formsOf(shown: Shown): MimeBundle {
  switch (shown.kind) {
    case 'figure': {
      const { figure } = shown;
      return {
        'application/vnd.plotly.v1+json': figureToPlotly(figure),
        'image/svg+xml': figureSvg(figure),
        'text/plain': `${figure.title}\n${figure.description}`,
      };
    }
    case 'motion': {
      const { motion } = shown;
      return {
        'image/svg+xml': motionPictureSvg(motion),
        'text/html': motionPictureHtml(motion, 3),
        'text/plain': `${motion.title}\n${motion.description}`,
      };
    }
    case 'finding':
      return {
        'application/vnd.proving-range.finding.v1+json': shown.finding,
        'text/html': findingSummaryHtml(shown.finding),
        'text/plain': findingText(shown.finding),
      };
    case 'table':
      return {
        'text/html': dataTableHtml(shown.table, { caption: tableCaption(shown.table, shown.rows) }),
        'text/plain': [tableText(shown.table), tableCaption(shown.table, shown.rows)].join('\n'),
      };
    case 'markdown':
      return {
        'text/html': markdownToHtml(shown.text, { headingOffset: 2 }),
        'text/markdown': shown.text,
        'text/plain': shown.text,
      };
    case 'text':
      return { 'text/plain': shown.text };
    case 'data':
      return { 'application/json': shown.json, 'text/plain': shown.text };
  }
}

/** How many rows a table has, and how many of them are shown. */
export function tableCaption(table: FigureTable, rows: number): string {
  const all = `${inThousands(rows)} ${rows === 1 ? 'row' : 'rows'}`;
  return table.rows.length === rows ? all : `The first ${inThousands(table.rows.length)} of ${all}`;
}
