import type { CalibrationTables, Finding } from '../../studies/index.ts';
import { dataTableHtml } from '../data-table.ts';
import { figureSection } from '../figure-html.ts';
import { section } from '../finding-sections.ts';
import { emptyStudyPage, type StudyPage } from '../study-page.ts';
import { coverageFigures } from './coverage-figure.ts';
import { calibrationTable } from './tables.ts';

/** What a calibration adds to its page: coverage against the band, a figure for each study, and the whole table. */
export function calibrationPage(finding: Finding): StudyPage {
  if (!isCalibration(finding)) return emptyStudyPage('Calibration');
  const figures = coverageFigures(finding);
  const table = calibrationTable(finding.tables.rows);
  return {
    words: 'Calibration on known truth',
    beforeEstimates: figures.map(figureSection).join('\n'),
    afterEstimates: section(
      'Every row',
      dataTableHtml(table, { caption: 'Every kind of cohort and every quantity', longest: 200 }),
    ),
    afterLeftOut: '',
    figures,
    tables: { calibration: table },
  };
}

function isCalibration(finding: Finding): finding is Finding<CalibrationTables> {
  const tables = finding.tables as Partial<Record<keyof CalibrationTables, unknown>> | null | undefined;
  return Array.isArray(tables?.rows) && tables.rows.length > 0 && typeof tables.band === 'object';
}
