import type { Finding } from '../../studies/index.ts';
import { dataTableHtml } from '../data-table.ts';
import { figureHtml, figureSection } from '../figure-html.ts';
import { section } from '../finding-sections.ts';
import { emptyStudyPage, type StudyPage } from '../study-page.ts';
import { proseHtml } from '../text-html.ts';
import { chartFigures } from './chart-figure.ts';
import { drawFigure } from './draw-figure.ts';
import { isOneGolfer } from './is-one-golfer.ts';
import { drawTable, limitsTable, phaseTable, sessionTable } from './tables.ts';

/** What the study of one golfer adds to its page: the chart of each golfer, the draw, and the phases. */
export function oneGolferPage(finding: Finding): StudyPage {
  if (!isOneGolfer(finding)) return emptyStudyPage('One golfer');
  const charts = chartFigures(finding);
  const draw = drawFigure(finding);
  return {
    words: 'One golfer',
    beforeEstimates:
      charts.length > 1
        ? section(
            'Session by session',
            charts.map((figure) => figureHtml(figure, { headingLevel: 3 })).join('\n'),
          )
        : charts.map(figureSection).join(''),
    afterEstimates: draw === null ? '' : figureSection(draw),
    afterLeftOut: section(
      'The phases',
      `<p>${proseHtml(finding.design.words)}</p>${dataTableHtml(phaseTable(finding), { caption: 'Each phase of the series, in order' })}`,
    ),
    figures: [...charts, ...(draw === null ? [] : [draw])],
    tables: {
      sessions: sessionTable(finding),
      phases: phaseTable(finding),
      limits: limitsTable(finding),
      ...(draw === null ? {} : { draw: drawTable(finding) }),
    },
  };
}
