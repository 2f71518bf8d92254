import type { Finding } from '../studies/index.ts';
import { designWords } from './drill-trial/design-words.ts';
import { drillTrialFigures } from './drill-trial/figures.ts';
import { flowSection } from './drill-trial/flow-section.ts';
import { isDrillTrial } from './drill-trial/is-drill-trial.ts';
import { escapeMarkup, shortLabel } from './escape.ts';
import type { Figure } from './figure.ts';
import { figureHtml } from './figure-html.ts';
import {
  cautionsSection,
  checksSection,
  estimatesSection,
  leftOutSection,
  metricSection,
  modelSection,
  plannedSection,
  provenanceSection,
  section,
  sensitivitySection,
} from './finding-sections.ts';
import { findingSummaryHtml } from './finding-summary.ts';
import { pageShell } from './page-shell.ts';
import { proseHtml } from './text-html.ts';

/** What a study adds to the page: figures, in three places, and who was there at each stage. */
interface StudyParts {
  readonly beforeEstimates: string;
  readonly afterEstimates: string;
  readonly flow: string;
  readonly figures: readonly Figure[];
}

const ownSection = (figure: Figure): string =>
  `<section>\n${figureHtml(figure, { headingLevel: 2 })}\n</section>`;

function drillTrialParts(finding: Finding): StudyParts {
  if (!isDrillTrial(finding)) {
    return { beforeEstimates: '', afterEstimates: '', flow: '', figures: [] };
  }
  const { estimate, golfers, groups, dose } = drillTrialFigures(finding);
  const golferPart =
    golfers.length > 1
      ? section(
          escapeMarkup(designWords(finding).title),
          golfers.map((figure) => figureHtml(figure, { headingLevel: 3 })).join('\n'),
        )
      : golfers.map(ownSection).join('');
  return {
    beforeEstimates: [ownSection(estimate), golferPart, groups === null ? '' : ownSection(groups)].join('\n'),
    afterEstimates: dose === null ? '' : ownSection(dose),
    flow: flowSection(finding),
    figures: [estimate, ...golfers, ...(groups === null ? [] : [groups]), ...(dose === null ? [] : [dose])],
  };
}

const studyWords: Readonly<Record<string, string>> = { 'drill-trial': 'Drill trial' };

/**
 * The page of a Finding: one self-contained HTML file. The answer first, then what it rests on, down to the
 * files it came from; the Finding itself is in it as JSON (`#finding`). The same Finding gives the same bytes.
 * @example findingPage(finding).startsWith('<!doctype html>') // true
 */
export function findingPage(finding: Finding): string {
  const parts = drillTrialParts(finding);
  const kind = studyWords[finding.study] ?? finding.study;
  const body = [
    '<header>',
    `<p class="over">${escapeMarkup(shortLabel(kind, 40))} · data to ${escapeMarkup(shortLabel(finding.provenance.date, 40))}</p>`,
    `<h1>${proseHtml(finding.question)}</h1>`,
    findingSummaryHtml(finding),
    '</header>',
    parts.beforeEstimates,
    estimatesSection(finding),
    parts.afterEstimates,
    metricSection(finding),
    modelSection(finding),
    checksSection(finding),
    sensitivitySection(finding),
    leftOutSection(finding),
    parts.flow,
    cautionsSection(finding),
    plannedSection(finding),
    provenanceSection(finding),
  ];
  return pageShell({
    title: `${shortLabel(finding.question, 90)} – Proving Range`,
    body: body.filter((part) => part !== '').join('\n'),
    figures: parts.figures,
    data: { finding },
  });
}
