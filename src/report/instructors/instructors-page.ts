import type { Finding, InstructorsTables } from '../../studies/index.ts';
import { dataTableHtml } from '../data-table.ts';
import { figureSection } from '../figure-html.ts';
import { section } from '../finding-sections.ts';
import { formatCount } from '../numbers.ts';
import { emptyStudyPage, type StudyPage } from '../study-page.ts';
import { proseHtml } from '../text-html.ts';
import { funnelFigure } from './funnel-figure.ts';
import { instructorFigure } from './instructor-figure.ts';
import { reliabilityFigure } from './reliability-figure.ts';
import { instructorTable, pairTable, reliabilityTable } from './tables.ts';

/**
 * The figures of a finding on instructors, in the order of the page.
 *
 * @example
 * const outcome = instructors(dataset, { metric: 'shaft_lean_impact_deg', seed: 7 });
 * outcome.ok && instructorsFigures(outcome.finding).every(({ title }) => findingPage(outcome.finding).includes(title)) // true
 */
export function instructorsFigures(finding: Finding<InstructorsTables>) {
  return [instructorFigure(finding), funnelFigure(finding), reliabilityFigure(finding)].filter(
    (figure) => figure !== null,
  );
}

/** What the study of instructors adds to its page: the instructors, chance alone, pupils it takes, and the pairs. */
export function instructorsPage(finding: Finding): StudyPage {
  if (!isInstructors(finding)) return emptyStudyPage('Instructors');
  const { pairs, noRanking, hidden, hiddenPupils } = finding.tables;
  const figures = instructorsFigures(finding);
  const unseen =
    hidden === 0
      ? ''
      : ` ${formatCount(hidden, 'instructor')} with fewer than five pupils (${formatCount(hiddenPupils, 'pupil')} in all) ${hidden === 1 ? 'is' : 'are'} in the model and not shown.`;
  const none =
    noRanking === null
      ? ''
      : section('Why there is no ranking', `<p>${proseHtml(`${noRanking}${unseen}`)}</p>`);
  return {
    words: 'Instructors',
    beforeEstimates: `${none}${figures.map(figureSection).join('\n')}`,
    afterEstimates:
      pairs.length === 0
        ? ''
        : section(
            'Pair by pair',
            `<p>${proseHtml(`A pair is told apart where the chance of being ahead is almost certain either way.${noRanking === null ? unseen : ''}`)}</p><details><summary>${formatCount(pairs.length, 'pair')}</summary>${dataTableHtml(pairTable(finding), { caption: 'Each pair of instructors' })}</details>`,
          ),
    afterLeftOut: '',
    figures,
    tables: {
      instructors: instructorTable(finding),
      pairs: pairTable(finding),
      reliability: reliabilityTable(finding),
    },
  };
}

/** Whether a Finding is one on instructors, with the tables that its figures need. */
function isInstructors(finding: Finding): finding is Finding<InstructorsTables> {
  const tables = finding.tables as Partial<Record<keyof InstructorsTables, unknown>> | null | undefined;
  return (
    finding.study === 'instructors' &&
    (['instructors', 'pairs', 'reliability'] as const).every((name) => Array.isArray(tables?.[name]))
  );
}
