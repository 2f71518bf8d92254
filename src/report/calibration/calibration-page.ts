import type { CalibrationTables, Finding } from '../../studies/index.ts';
import { dataTableHtml } from '../data-table.ts';
import type { FigureTable } from '../figure.ts';
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
    afterEstimates: section('Every row', everyRow(table)),
    afterLeftOut: '',
    figures,
    tables: { calibration: table },
  };
}

const WHICH = ['study', 'case', 'quantity'];
const COVERAGE = ['claim', 'covered', 'covered_low', 'covered_high', 'standing', 'cohorts', 'answered'];
const VERDICT = ['meaningful', 'meaningful_low', 'meaningful_high', 'nothing_there', 'false_alarms'];
const BIAS = ['truth', 'bias', 'bias_error'];

type TableRow = FigureTable['rows'][number];

/** The whole table in parts that paper is wide enough for; the file of it has all in one. */
function everyRow(table: FigureTable): string {
  const part = (caption: string, keys: readonly string[], keep: (row: TableRow) => boolean = () => true) => {
    const columns = table.columns.filter(({ key }) => WHICH.includes(key) || keys.includes(key));
    return dataTableHtml({ columns, rows: table.rows.filter(keep) }, { caption, longest: 200 });
  };
  const known = (key: string) => (row: TableRow) => row[key] !== null && row[key] !== '';
  return [
    part('How often intervals hold the truth', COVERAGE, known('covered')),
    part('How often verdicts say that a change matters', VERDICT, known('meaningful')),
    part('How far estimates lie from the truth', BIAS, known('bias')),
    part('What is known of it', ['why'], known('why')),
  ].join('\n');
}

function isCalibration(finding: Finding): finding is Finding<CalibrationTables> {
  const tables = finding.tables as Partial<Record<keyof CalibrationTables, unknown>> | null | undefined;
  return Array.isArray(tables?.rows) && tables.rows.length > 0 && typeof tables.band === 'object';
}
