import type { Finding } from '../../studies/index.ts';
import { escapeMarkup } from '../escape.ts';
import { figureHtml, figureSection } from '../figure-html.ts';
import { section } from '../finding-sections.ts';
import { emptyStudyPage, type StudyPage } from '../study-page.ts';
import { designWords } from './design-words.ts';
import { drillTrialFigures } from './figures.ts';
import { flowSection } from './flow-section.ts';
import { isDrillTrial } from './is-drill-trial.ts';
import { drillTrialTables } from './tables.ts';

/** What a drill trial adds to its page: the estimate, the golfers, the groups, the dose, and who was there. */
export function drillTrialPage(finding: Finding): StudyPage {
  if (!isDrillTrial(finding)) return emptyStudyPage('Drill trial');
  const { estimate, golfers, panels, groups, dose } = drillTrialFigures(finding);
  const golferPart =
    golfers.length > 1
      ? section(
          escapeMarkup(designWords(finding).title),
          golfers.map((figure) => figureHtml(figure, { headingLevel: 3 })).join('\n'),
        )
      : golfers.map(figureSection).join('');
  return {
    words: 'Drill trial',
    beforeEstimates: [
      figureSection(estimate),
      golferPart,
      ...panels.map(figureSection),
      groups === null ? '' : figureSection(groups),
    ].join('\n'),
    afterEstimates: dose === null ? '' : figureSection(dose),
    afterLeftOut: flowSection(finding),
    figures: [
      estimate,
      ...golfers,
      ...panels,
      ...(groups === null ? [] : [groups]),
      ...(dose === null ? [] : [dose]),
    ],
    tables: drillTrialTables(finding),
  };
}
