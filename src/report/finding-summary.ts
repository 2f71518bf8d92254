import type { Finding, Verdict } from '../studies/index.ts';
import { escapeMarkup } from './escape.ts';
import { estimateData, estimateRange, estimateValue } from './estimate-html.ts';
import { formatCount, formatLevel } from './numbers.ts';
import { degreesBySign } from './own-words.ts';
import { proseHtml } from './text-html.ts';
import { smallestWords, verdictShort, verdictSign } from './verdict-words.ts';

/** Where the interval lies against the zone, as a small sign: a shape for those who do not see the colour. */
const signs: Readonly<Record<Verdict | 'noisy', string>> = {
  meaningful: '<path d="M4 12.5 10 18 20 6.5" fill="none" stroke="var(--drill)" stroke-width="3"/>',
  'too-small-to-matter':
    '<path d="M7 5v14M17 5v14M9.5 12h5" fill="none" stroke="var(--zoneEdge)" stroke-width="3"/>',
  opposite:
    '<path d="M12 4v15M5.5 12.5 12 19l6.5-6.5" fill="none" stroke="var(--control)" stroke-width="3"/>',
  noisy: '<path d="M2 12l3-6 4 12 4-12 4 12 4-9" fill="none" stroke="var(--control)" stroke-width="2.5"/>',
  'cannot-tell':
    '<path d="M3 12h4M10 12h4M17 12h4" fill="none" stroke="var(--zoneEdge)" stroke-width="3.5"/>',
};

function fact(name: string, value: string, more: string, data = ''): string {
  return `<div><dt>${name}</dt><dd ${data}>${value}<small>${more}</small></dd></div>`;
}

/** What a reader must know before the answer is used: in a box of its own, or nothing. */
export function warningsHtml(warnings: readonly string[]): string {
  if (warnings.length === 0) return '';
  const items = warnings.map((warning) => `<li>${proseHtml(warning)}</li>`).join('');
  return `<div class="note"><p><b>Read this first</b></p><ul>${items}</ul></div>`;
}

function plannedFact({ planned, timing, parts = [] }: Finding['planned']): string {
  if (!planned) return 'read it as a first look';
  const changes = parts.some(({ state }) => state === 'changed') ? '; changed in parts' : '';
  if (timing === 'before-the-data') return `locked before the data${changes}`;
  if (timing === 'after-the-first-phase') return `locked before the data that answer${changes}`;
  return `written in a plan${changes}`;
}

/**
 * The answer as a block of HTML: verdict in words, the sentence, the estimate with its interval, the smallest
 * change that matters, how many were tested, and whether it was planned. For the head of a page or a cell of
 * a notebook; it brings no heading of its own.
 *
 * @example /<h[1-6]/.test(findingSummaryHtml(finding)) // false
 */
export function findingSummaryHtml(original: Finding): string {
  const finding = degreesBySign(original);
  const [first] = finding.estimates;
  const smallest = finding.smallestChange;
  const facts = [
    first === undefined
      ? ''
      : fact(
          'Estimate',
          escapeMarkup(estimateValue(first, finding)),
          `${formatLevel(first.level)} interval <span class="token">${escapeMarkup(estimateRange(first, finding))}</span>`,
          estimateData(first),
        ),
    smallest === null
      ? ''
      : fact(
          'Smallest that matters',
          escapeMarkup(smallestWords(smallest)),
          {
            plan: 'set in the plan',
            asked: 'given with the question',
            default: 'our default; argued below',
          }[smallest.from],
          `data-value="${smallest.value}"`,
        ),
    ...(['angle', 'plan', 'calibration'].includes(finding.study) ? [] : testedFacts(finding)),
  ];
  return `<div class="answer" data-verdict="${finding.verdict}">
<p class="verdict"><svg viewBox="0 0 24 24" aria-hidden="true" focusable="false">${signs[verdictSign(finding.verdict, finding)]}</svg>${escapeMarkup(verdictShort(finding.verdict, finding))}</p>
<p class="sentence">${proseHtml(finding.answer)}</p>
<dl class="facts">${facts.join('')}</dl>
</div>
${warningsHtml(finding.warnings)}`.trimEnd();
}

/** How many were tested, and whether it was planned: of a study of golfers, which a worked-out angle or a plan is not. */
function testedFacts(finding: Finding): string[] {
  return [
    fact(
      'Tested on',
      formatCount(finding.design.golfers, 'golfer'),
      `${formatCount(finding.design.swings, 'swing')} in ${formatCount(finding.design.sessions, 'session')}`,
    ),
    fact('Planned', finding.planned.planned ? 'Yes' : 'No', plannedFact(finding.planned)),
  ];
}
