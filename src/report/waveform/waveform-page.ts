import type { Finding, WaveformTables } from '../../studies/index.ts';
import { dataTableHtml } from '../data-table.ts';
import type { Figure } from '../figure.ts';
import { figureSection } from '../figure-html.ts';
import { section } from '../finding-sections.ts';
import { emptyStudyPage, type StudyPage } from '../study-page.ts';
import { proseHtml } from '../text-html.ts';
import { meansFigure } from './curves-figure.ts';
import { differenceFigure } from './difference-figure.ts';
import { golfersFigure } from './golfers-figure.ts';
import { isWaveform } from './is-waveform.ts';
import { timingTable, waveformTables, windowsTable } from './tables.ts';

/**
 * The figures of a comparison of curves, in the order of the page.
 *
 * @example
 * const read = await loadRecipe('waveform-window');
 * await writeCohort('out', read.recipe, generateCohort(read.recipe, 7));
 * const [data, curves] = [await loadDataset('out'), await loadCurves('out')];
 * const outcome = waveform(data.value, { curves: curves.value });
 * outcome.ok && waveformFigures(outcome.finding).every(({ title }) => findingPage(outcome.finding).includes(title)) // true
 */
export function waveformFigures(finding: Finding<WaveformTables>): Figure[] {
  return [differenceFigure(finding), meansFigure(finding), golfersFigure(finding)];
}

/** What a comparison of curves adds to its page: where they differ, the curves, the golfers, and when instants came. */
export function waveformPage(finding: Finding): StudyPage {
  if (!isWaveform(finding)) return emptyStudyPage('Curves');
  const figures = waveformFigures(finding);
  const { windows, timing } = finding.tables;
  return {
    words: 'Curves of the downswing',
    beforeEstimates: figures.map(figureSection).join('\n'),
    afterEstimates: [
      windows.length === 0
        ? ''
        : section(
            'Window by window',
            dataTableHtml(windowsTable(finding), { caption: 'Where the band leaves out none' }),
          ),
      timing.length === 0
        ? ''
        : section(
            'When instants came',
            dataTableHtml(timingTable(finding), {
              caption: 'Difference in timing, in per cent of the downswing',
            }),
          ),
    ].join('\n'),
    afterLeftOut: section('Who took part', `<p>${proseHtml(finding.design.words)}</p>`),
    figures,
    tables: waveformTables(finding),
  };
}
