import type { Finding } from '../studies/index.ts';
import { escapeMarkup, shortLabel } from './escape.ts';
import {
  cautionsSection,
  checksSection,
  estimatesSection,
  leftOutSection,
  metricSection,
  modelSection,
  plannedSection,
  provenanceSection,
  sensitivitySection,
} from './finding-sections.ts';
import { findingSummaryHtml } from './finding-summary.ts';
import { nextSection } from './next-section.ts';
import { degreesBySign } from './own-words.ts';
import { pageShell } from './page-shell.ts';
import { reportingSection } from './reporting-section.ts';
import { specificationSection } from './specification/specification-section.ts';
import { studyPage } from './study-pages.ts';
import { proseHtml } from './text-html.ts';

/**
 * The page of a Finding: one self-contained HTML file. The answer first, then what it rests on, down to the
 * files it came from; the Finding itself is in it as JSON (`#finding`). The same Finding gives the same bytes.
 * @example findingPage(finding).startsWith('<!doctype html>') // true
 */
export function findingPage(original: Finding): string {
  const finding = degreesBySign(original);
  const parts = studyPage(finding);
  const specifications = specificationSection(finding);
  const body = [
    '<header>',
    `<p class="over">${escapeMarkup(shortLabel(parts.words, 40))}${finding.study === 'angle' || finding.study === 'calibration' ? '' : ` · ${dataTo(finding)}`}</p>`,
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
    specifications.html,
    leftOutSection(finding),
    parts.afterLeftOut,
    nextSection(finding),
    cautionsSection(finding),
    plannedSection(finding),
    reportingSection(finding),
    provenanceSection(finding),
  ];
  return pageShell({
    title: `${shortLabel(finding.question, 90)} – Proving Range`,
    body: body.filter((part) => part !== '').join('\n'),
    figures: [...parts.figures, ...specifications.figures],
    data: { finding: original },
  });
}

function dataTo({ provenance }: Finding): string {
  return provenance.date === '' ? 'no data yet' : `data to ${escapeMarkup(shortLabel(provenance.date, 40))}`;
}
