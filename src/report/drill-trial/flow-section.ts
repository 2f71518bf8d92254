import type { DrillTrialTables, Finding } from '../../studies/index.ts';
import { dataTableHtml } from '../data-table.ts';
import { section } from '../finding-sections.ts';
import { proseHtml } from '../text-html.ts';
import { flowTable } from './tables.ts';

/** The design in words, and how many golfers were there at each stage. */
export function flowSection(finding: Finding<DrillTrialTables>): string {
  const { tables, design } = finding;
  const table =
    tables.flow.length === 0
      ? ''
      : dataTableHtml(flowTable(finding), { caption: 'Golfers at each stage, by arm', longest: 26 });
  return section('Who took part', `<p>${proseHtml(design.words)}</p>${table}`);
}
