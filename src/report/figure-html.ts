import { dataTableHtml } from './data-table.ts';
import { escapeMarkup } from './escape.ts';
import type { Figure } from './figure.ts';
import { figureSvg, narrowWidth, wideWidth } from './figure-svg.ts';
import { legendHtml } from './legend-html.ts';
import { proseHtml } from './text-html.ts';

/** How a figure fits into the page around it. */
export interface FigureHtmlOptions {
  /** Level of the figure's heading: 2 to 6. Default 3. */
  readonly headingLevel?: number;
}

/**
 * A figure for a page: heading, static drawing (one for a wide screen and print, one for a phone), the place
 * where the page's script puts the interactive one, caption, and the same in words and as a table. The page
 * must be made by `pageShell` with the same figure among its `figures`.
 *
 * @example figureHtml(figure).includes('The elbow straightens') // true: the title of the figure
 */
export function figureHtml(figure: Figure, options: FigureHtmlOptions = {}): string {
  const level = options.headingLevel ?? 3;
  const { id } = figure;
  const wide = figureSvg(figure, { width: wideWidth, standalone: false });
  const narrow = figureSvg(figure, { width: narrowWidth, standalone: false });
  const read = figure.data.some(({ hovertext }) => hovertext !== undefined);
  return `<figure class="figure" id="figure-${id}">
<h${level} class="figure-title">${proseHtml(figure.title)}</h${level}>
<div class="static"><div class="wide">${wide}</div><div class="narrow">${narrow}</div></div>
<div class="live" data-figure="${id}" role="group"${read ? ' tabindex="0"' : ''} aria-label="${escapeMarkup(figure.title)}.${read ? ' Arrow keys read out one point after another.' : ''}" aria-describedby="words-${id}" hidden>${legendHtml(figure)}<div class="plot" aria-hidden="true"></div><p class="reader" aria-live="polite"></p></div>
<figcaption>${proseHtml(figure.caption)}</figcaption>
<details class="numbers"><summary>In words and numbers<span class="unseen">: ${escapeMarkup(figure.title)}</span></summary>
<p id="words-${id}">${proseHtml(figure.description)}</p>
${dataTableHtml(figure.table, { caption: figure.title })}
</details>
</figure>`;
}

/** A figure as a section of its own, under a heading of the second level. */
export function figureSection(figure: Figure): string {
  return `<section>\n${figureHtml(figure, { headingLevel: 2 })}\n</section>`;
}
