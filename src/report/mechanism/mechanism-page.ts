import type { Finding, MechanismTables } from '../../studies/index.ts';
import { dataTableHtml } from '../data-table.ts';
import type { Figure, FigureTable } from '../figure.ts';
import { figureHtml, figureSection } from '../figure-html.ts';
import { section } from '../finding-sections.ts';
import { formatNumber } from '../numbers.ts';
import { emptyStudyPage, type StudyPage } from '../study-page.ts';
import { proseHtml } from '../text-html.ts';
import { curveFigures } from './curve-figure.ts';
import { pathFigure } from './path-figure.ts';
import { slopesFigure } from './slopes-figure.ts';
import { waysFigure } from './ways-figure.ts';

const WORDS = 'Mechanism';

/** Whether a Finding is of mechanism with the tables that its figures need. */
export function isMechanism(finding: Finding): finding is Finding<MechanismTables> {
  const tables = finding.tables as Partial<MechanismTables> | null | undefined;
  return (
    finding.study === 'mechanism' &&
    (['paths', 'golfers', 'ways', 'curves'] as const).every((name) => Array.isArray(tables?.[name]))
  );
}

function figuresOf({ tables, estimates }: Finding<MechanismTables>) {
  return {
    slopes: slopesFigure(tables),
    paths: pathFigure(tables, estimates[0]?.level ?? 0.95),
    curves: curveFigures(tables),
    ways: waysFigure(tables),
  };
}

/**
 * The figures of a finding on a mechanism, in the order of the page.
 *
 * @example
 * const outcome = mechanism(dataset, { predictor: 'elbow_extension_onset_ms' });
 * outcome.ok && mechanismFigures(outcome.finding).every(({ title }) => findingPage(outcome.finding).includes(title)) // true
 */
export function mechanismFigures(finding: Finding<MechanismTables>): Figure[] {
  const { slopes, paths, curves, ways } = figuresOf(finding);
  return [slopes, paths, ...curves, ways].filter((figure) => figure !== null);
}

/** What mechanism adds to its page: slopes inside and between golfers, the arrows, other ways of asking, curves, doubt. */
export function mechanismPage(finding: Finding): StudyPage {
  if (!isMechanism(finding)) return emptyStudyPage(WORDS);
  const { tables } = finding;
  const { slopes, paths, curves, ways } = figuresOf(finding);
  const shown = mechanismFigures(finding);
  return {
    words: WORDS,
    beforeEstimates: [slopes, paths]
      .flatMap((figure) => (figure === null ? [] : [figureSection(figure)]))
      .join('\n'),
    afterEstimates: [
      curves.length === 0
        ? ''
        : section('Too much of a good thing', curves.map((figure) => figureHtml(figure)).join('\n')),
      ways === null ? '' : figureSection(ways),
      doubtSection(tables),
    ].join('\n'),
    afterLeftOut: '',
    figures: shown,
    tables: Object.fromEntries([
      ...shown.map((figure) => [figure.id, figure.table] as const),
      ...(tables.unmeasured === null ? [] : [['unmeasured', doubtTable(tables.unmeasured)] as const]),
    ]),
  };
}

type Unmeasured = NonNullable<MechanismTables['unmeasured']>;

function doubtTable({ toZero, intervalToZero, belowSmallest, benchmarks }: Unmeasured): FigureTable {
  const percent = (share: number) => 100 * share;
  return {
    columns: [
      { key: 'what', label: 'an unmeasured cause' },
      { key: 'share', label: 'share of both it explains', unit: '%' },
      { key: 'left', label: 'what it leaves of the slope', unit: '%' },
    ],
    rows: [
      { what: 'that leaves no link at all', share: percent(toZero), left: 0 },
      ...(belowSmallest === null
        ? []
        : [{ what: 'that leaves less than matters', share: percent(belowSmallest), left: null }]),
      { what: 'that lets the interval reach no link', share: percent(intervalToZero), left: null },
      ...benchmarks.map(({ label, left }) => ({
        what: `as strong as ${label}`,
        share: null,
        left: percent(left),
      })),
    ],
  };
}

function doubtSection({ unmeasured, outcome, predictor }: MechanismTables): string {
  if (unmeasured === null) return '';
  const words = `Something that was not measured and moves both ${predictor.label} and ${outcome.label} from swing to swing would make a link without an arrow. It would have to explain ${formatNumber(100 * unmeasured.toZero, 0)}% of what varies in each to leave nothing. Whether there is such a thing no number can say; the list of checks names the usual ones.`;
  return section(
    'How strong an unseen cause would have to be',
    `<p>${proseHtml(words)}</p>${dataTableHtml(doubtTable(unmeasured), { caption: 'Unseen causes and what they would leave', longest: 60 })}`,
  );
}
