import type { AngleTables, Finding } from '../../studies/index.ts';
import { dataTableHtml } from '../data-table.ts';
import { escapeMarkup } from '../escape.ts';
import type { FigureTable } from '../figure.ts';
import { figureSection } from '../figure-html.ts';
import { section } from '../finding-sections.ts';
import { emptyStudyPage, type StudyPage } from '../study-page.ts';
import { proseHtml } from '../text-html.ts';
import { definitionsFigure, differenceFigure } from './figures.ts';
import {
  budgetTable,
  definitionTable,
  differenceTable,
  markerTable,
  seriesTable,
  shownSteps,
  stepTable,
} from './tables.ts';

/** What a reproduced angle adds to its page: the differences, every step, the error budget, the rival definitions. */
export function anglePage(finding: Finding): StudyPage {
  if (!isAngle(finding)) return emptyStudyPage('Angle');
  const { tables } = finding;
  const difference = differenceFigure(finding);
  const definitions = definitionsFigure(finding);
  const figures = [difference, definitions].filter((figure) => figure !== null);
  return {
    words: 'Angle',
    beforeEstimates: difference === null ? '' : figureSection(difference),
    afterEstimates: [
      stepsSection(finding),
      tables.budget === null
        ? ''
        : section(
            'Which marker is to blame for the uncertainty',
            `<p>${escapeMarkup(`Every coordinate of every marker is taken to be off by itself with an SD of ${tables.budget.noise_mm} mm (${tables.budget.assumed ? 'an assumption; give that of your own markers with --noise-mm' : 'as given'}).`)}</p>${dataTableHtml(markerTable(finding), { caption: `Error budget of row ${tables.row}, by marker; by coordinate in error-budget.csv` })}`,
          ),
      definitions === null ? '' : figureSection(definitions),
      tables.definitions.length === 0
        ? ''
        : section(
            'The same capture under other definitions',
            `${dataTableHtml(definitionTable(finding), { caption: 'Each definition minus ISB flexion', longest: 60 })}${tables.definitions
              .map(({ definition, why }) => `<p><b>${escapeMarkup(definition)}.</b> ${proseHtml(why)}</p>`)
              .join('')}`,
          ),
    ].join('\n'),
    afterLeftOut: '',
    figures,
    tables: tablesOf(finding),
  };
}

function stepsSection(finding: Finding<AngleTables>): string {
  const { row, steps, sources } = finding.tables;
  const headings = [...new Set(steps.map(({ heading }) => heading))];
  const parts = headings.map((heading) => {
    const own = steps.filter((step) => step.heading === heading);
    const from = [...new Set(own.flatMap(({ source }) => (source === '' ? [] : [source])))].join('; ');
    const caption = from === '' ? heading : `${heading} (${from})`;
    return dataTableHtml(shownSteps(own), { caption, longest: 200 });
  });
  const references = Object.entries(sources).map(
    ([name, full]) => `<li>${escapeMarkup(name)}: ${escapeMarkup(full)}.</li>`,
  );
  return section(
    `Every step of row ${row}, from points to angle`,
    `${parts.join('\n')}${references.length === 0 ? '' : `<ul>${references.join('')}</ul>`}`,
  );
}

function tablesOf(finding: Finding<AngleTables>): Record<string, FigureTable> {
  return Object.fromEntries(
    Object.entries({
      differences: differenceTable(finding),
      steps: stepTable(finding.tables.steps),
      'error-budget': budgetTable(finding),
      definitions: definitionTable(finding),
      series: seriesTable(finding),
    }).filter(([, { rows }]) => rows.length > 0),
  );
}

/** Whether a Finding is a reproduced angle, with the tables that its page needs. */
function isAngle(finding: Finding): finding is Finding<AngleTables> {
  const tables = finding.tables as Partial<Record<keyof AngleTables, unknown>> | null | undefined;
  return (
    finding.study === 'angle' &&
    (['differences', 'steps', 'definitions', 'series'] as const).every((name) =>
      Array.isArray(tables?.[name]),
    )
  );
}
