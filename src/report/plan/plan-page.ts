import type { Finding, PlanTables } from '../../studies/index.ts';
import { figureSection } from '../figure-html.ts';
import { section } from '../finding-sections.ts';
import { emptyStudyPage, type StudyPage } from '../study-page.ts';
import { proseHtml } from '../text-html.ts';
import { gridFigures } from './grid-figure.ts';
import { gridTable } from './grid-table.ts';

/** What a plan adds to its page: the grid of designs, with and without an effect, and the size that is described. */
export function planPage(finding: Finding): StudyPage {
  if (!isPlan(finding)) return emptyStudyPage('Plan');
  const figures = gridFigures(finding);
  return {
    words: 'Plan of a study',
    beforeEstimates: figures.map(figureSection).join('\n'),
    afterEstimates: section('The study that is described', `<p>${proseHtml(finding.design.words)}</p>`),
    afterLeftOut: '',
    figures,
    tables: { grid: gridTable(finding) },
  };
}

function isPlan(finding: Finding): finding is Finding<PlanTables> {
  const tables = finding.tables as Partial<Record<keyof PlanTables, unknown>> | null | undefined;
  return Array.isArray(tables?.grid) && tables.grid.length > 0;
}
