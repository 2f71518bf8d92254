import type { DrillTrialTables, Finding, GolferChange } from '../../studies/index.ts';
import { armStyles } from '../drill-trial/arms.ts';
import { designWords } from '../drill-trial/design-words.ts';
import { escapeMarkup } from '../escape.ts';
import { formatChange, formatInterval, formatQuantity, unitSuffix } from '../numbers.ts';
import { pageShell } from '../page-shell.ts';
import { proseHtml, textHtml } from '../text-html.ts';
import { ownDecimals } from './golfer-words.ts';

/** A golfer with the file of his or her page, relative to the roster page. */
export interface RosterEntry {
  readonly golfer: GolferChange;
  readonly file: string;
}

function row({ golfer, file }: RosterEntry, unit: string): string {
  const decimals = ownDecimals(golfer);
  const { before, after, change, shrunken, interval } = golfer;
  const cell = (text: string): string => `<td class="number">${escapeMarkup(text)}</td>`;
  const suffix = unitSuffix(unit);
  return [
    `<tr><th scope="row"><a href="${file}">${textHtml(golfer.golfer)}</a></th>`,
    cell(formatQuantity(before, unit, decimals)),
    cell(formatQuantity(after, unit, decimals)),
    cell(change === null ? '–' : formatChange(change, decimals) + suffix),
    cell(shrunken === null ? '–' : formatChange(shrunken, decimals) + suffix),
    cell(formatInterval(interval, unit, decimals)),
    '</tr>',
  ].join('');
}

/** The list of all golfers with a link to the page of each: for the coach, not to be handed over. */
export function rosterPage(finding: Finding<DrillTrialTables>, entries: readonly RosterEntry[]): string {
  const { metric } = finding;
  const { before, after, observed, golfersOf } = designWords(finding);
  const heads = ['golfer', before, after, `${observed} observed`, 'best guess', 'its interval'];
  const tables = armStyles(finding).flatMap(({ arm, label }) => {
    const own = entries.filter(({ golfer }) => golfer.arm === arm);
    if (own.length === 0) return [];
    return [
      `<section>\n<h2>${proseHtml(golfersOf(label))}</h2>`,
      `<div class="scroll" role="group" tabindex="0" aria-label="Golfers: ${escapeMarkup(golfersOf(label))}"><table class="data">`,
      `<thead><tr>${heads.map((head, k) => `<th scope="col"${k === 0 ? '' : ' class="number"'}>${head}</th>`).join('')}</tr></thead>`,
      `<tbody>\n${own.map((entry) => row(entry, metric.unit)).join('\n')}\n</tbody></table></div>\n</section>`,
    ];
  });
  return pageShell({
    title: 'A page for each golfer – Proving Range',
    body: [
      '<header>',
      '<p class="over">For the coach</p>',
      `<h1>A page for each golfer: ${proseHtml(metric.label)}</h1>`,
      `<p>Each link leads to a page that names one golfer and nobody else, to be handed over as a file or on paper. This list names them all, and is not for handing over. <a href="${finding.study}.html">The whole report</a>.</p>`,
      '</header>',
      ...tables,
    ].join('\n'),
    figures: [],
  });
}
