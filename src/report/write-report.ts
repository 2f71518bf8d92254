import { writeNewFolder } from '../dataset/index.ts';
import { type Finding, serialiseFinding } from '../studies/index.ts';
import { tableCsv } from './csv.ts';
import type { FigureTable } from './figure.ts';
import { figureSvg } from './figure-svg.ts';
import { findingPage } from './finding-page.ts';
import { golferPages } from './golfer-pages/golfer-pages.ts';
import { degreesBySign } from './own-words.ts';
import { reportingTable } from './reporting-section.ts';
import { specificationSection } from './specification/specification-section.ts';
import { specificationTable } from './specification/specification-table.ts';
import { studyPage } from './study-pages.ts';

export interface ReportOptions {
  /** Beside the report a page for each golfer of a drill trial, and a list that links them. */
  readonly golferPages?: boolean;
  /** Golfers for whom none may be made. */
  readonly withoutPage?: ReadonlySet<string>;
}

/** The files of a report that was written. */
export interface WrittenReport {
  /** The page's file name within the folder, such as `drill-trial.html`. */
  readonly page: string;
  /** Every file written, in order of name. */
  readonly files: readonly string[];
}

function estimatesTable(finding: Finding): FigureTable {
  return {
    columns: ['name', 'value', 'low', 'high', 'level', 'unit', 'degrees of freedom', 'meaning'].map(
      (label) => ({
        key: label,
        label,
      }),
    ),
    rows: finding.estimates.map(({ name, value, interval, level, unit, degreesOfFreedom, meaning }) => ({
      name,
      value,
      low: interval[0],
      high: interval[1],
      level,
      unit,
      'degrees of freedom': degreesOfFreedom,
      meaning,
    })),
  };
}

/**
 * The files of a report by name: the Finding as JSON, the page, the tables as CSV and the figures as SVG.
 * Throws an Error where the study's name could not be a file name.
 * @example Object.keys(reportFiles(finding)).slice(0, 2) // ['finding.json', 'drill-trial.html']
 */
export function reportFiles(finding: Finding, options: ReportOptions = {}): Record<string, string> {
  if (!/^[a-z][a-z-]{0,40}$/.test(finding.study)) {
    throw new Error('reportFiles: the study must be named in small letters and hyphens, such as drill-trial');
  }
  const { tables: own } = studyPage(finding);
  const shown = degreesBySign(finding);
  const curve = finding.specifications;
  const tables = {
    estimates: estimatesTable(finding),
    ...own,
    ...(curve === undefined ? {} : { specifications: specificationTable(curve) }),
    ...(finding.reporting === undefined ? {} : { reporting: reportingTable(finding.reporting) }),
  };
  const figures = [...studyPage(shown).figures, ...specificationSection(shown).figures];
  return {
    'finding.json': serialiseFinding(finding),
    [`${finding.study}.html`]: findingPage(finding),
    ...Object.fromEntries(Object.entries(tables).map(([name, table]) => [`${name}.csv`, tableCsv(table)])),
    ...Object.fromEntries(figures.map((figure) => [`${figure.id}.svg`, figureSvg(figure)])),
    ...(options.golferPages === true ? golferPages(finding, options.withoutPage) : {}),
  };
}

/**
 * Writes a report into a new folder, whole or not at all.
 *
 * @throws AlreadyThereError where the folder holds something already; it is left as it is.
 * @example (await writeReport('out', finding)).page // 'drill-trial.html'
 */
export async function writeReport(
  folder: string,
  finding: Finding,
  options: ReportOptions = {},
): Promise<WrittenReport> {
  const files = reportFiles(finding, options);
  await writeNewFolder(folder, files);
  return { page: `${finding.study}.html`, files: Object.keys(files).sort() };
}
