import type { DrillTrialTables, Finding } from '../../studies/index.ts';
import { dataTableHtml } from '../data-table.ts';
import { escapeMarkup } from '../escape.ts';
import type { FigureTable } from '../figure.ts';
import { section } from '../finding-sections.ts';

/** Who was there at each stage, by arm. */
export function flowTable({ tables }: Finding<DrillTrialTables>): FigureTable {
  return {
    columns: [
      { key: 'arm', label: 'arm' },
      { key: 'assigned', label: 'assigned' },
      { key: 'baseline', label: 'measured before' },
      { key: 'post', label: 'measured after' },
      { key: 'retention', label: 'measured later' },
    ],
    rows: tables.flow.map(({ arm, assigned, baseline, post, retention }) => ({
      arm,
      assigned,
      baseline,
      post,
      retention,
    })),
  };
}

export function flowSection(finding: Finding<DrillTrialTables>): string {
  const { tables, design } = finding;
  const table =
    tables.flow.length === 0
      ? ''
      : dataTableHtml(flowTable(finding), { caption: 'Golfers at each stage, by arm', longest: 26 });
  return section('Who took part', `<p>${escapeMarkup(design.words)}</p>${table}`);
}
