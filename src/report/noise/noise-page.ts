import type { Finding, NoiseTables } from '../../studies/index.ts';
import { dataTableHtml } from '../data-table.ts';
import { figureSection } from '../figure-html.ts';
import { section } from '../finding-sections.ts';
import { emptyStudyPage, type StudyPage } from '../study-page.ts';
import { proseHtml } from '../text-html.ts';
import { agreementFigure } from './agreement-figure.ts';
import { detectableFigure } from './detectable-figure.ts';
import { partsFigure } from './parts-figure.ts';
import { correlationTable, deviceTable, golferTable, noiseTables } from './tables.ts';

/**
 * The figures of a finding on noise, in the order of the page.
 *
 * @example
 * const outcome = noise(dataset, { metric: 'shaft_lean_impact_deg' });
 * outcome.ok && noiseFigures(outcome.finding).every(({ title }) => findingPage(outcome.finding).includes(title)) // true
 */
export function noiseFigures(finding: Finding<NoiseTables>) {
  const agreement = agreementFigure(finding);
  const own = [detectableFigure(finding), partsFigure(finding)];
  return (finding.design.kind === 'agreement' ? [agreement] : [...own, agreement]).filter(
    (figure) => figure !== null,
  );
}

/** What the noise study adds to its page: what can be seen, where spread comes from, golfers, devices, agreement. */
export function noisePage(finding: Finding): StudyPage {
  if (!isNoise(finding)) return emptyStudyPage('Noise');
  const figures = noiseFigures(finding);
  const { golfers, devices, correlations } = finding.tables;
  return {
    words: finding.design.kind === 'agreement' ? 'Agreement' : 'Noise',
    beforeEstimates: figures.map(figureSection).join('\n'),
    afterEstimates: [
      correlations.length === 0
        ? ''
        : section(
            'How reliably sessions tell golfers apart',
            dataTableHtml(correlationTable(finding), {
              caption: 'Intraclass correlations of session means, in all six forms',
            }),
          ),
      devices.length < 2
        ? ''
        : section(
            'Device by device',
            dataTableHtml(deviceTable(finding), { caption: "Each device's own noise" }),
          ),
    ].join(''),
    afterLeftOut: section(
      'Who was measured',
      `<p>${proseHtml(finding.design.words)}</p>${
        golfers.length === 0
          ? ''
          : `<details><summary>Each golfer’s own spread</summary>${dataTableHtml(golferTable(finding), { caption: 'Each golfer' })}</details>`
      }`,
    ),
    figures,
    tables: noiseTables(finding),
  };
}

/** Whether a Finding is one on noise, with the tables that its figures need. */
function isNoise(finding: Finding): finding is Finding<NoiseTables> {
  const tables = finding.tables as Partial<Record<keyof NoiseTables, unknown>> | null | undefined;
  return (
    finding.study === 'noise' &&
    (['parts', 'detectable', 'correlations', 'golfers', 'devices'] as const).every((name) =>
      Array.isArray(tables?.[name]),
    )
  );
}
