import type { DrillTrialTables, Finding, GolferChange } from '../../studies/index.ts';
import { designWords } from '../drill-trial/design-words.ts';
import { escapeMarkup, shortLabel } from '../escape.ts';
import { capital } from '../estimate-html.ts';
import { figureSection } from '../figure-html.ts';
import { section } from '../finding-sections.ts';
import { pageShell } from '../page-shell.ts';
import { withStandingCautions } from '../standing-cautions.ts';
import { proseHtml, textHtml } from '../text-html.ts';
import { smallestWords } from '../verdict-words.ts';
import { golferPageFigure } from './golfer-page-figure.ts';
import { golferWords } from './golfer-words.ts';

/**
 * A page about one golfer of a drill trial, for the coach to hand over. It is made from that golfer's row and from what
 * is the same for everybody, never from a text that could name somebody else; it has no script.
 */
export function golferPage(finding: Finding<DrillTrialTables>, golfer: GolferChange): string {
  const { metric, smallestChange, provenance } = finding;
  const figure = golferPageFigure(finding, golfer);
  const label = shortLabel(metric.label, 200);
  const what = designWords(finding).crossover ? 'with the drill and without' : 'before and after';
  const smallest =
    smallestChange === null
      ? ''
      : `<p><b>The smallest change that matters: ${escapeMarkup(smallestWords(smallestChange))}.</b> ${
          { plan: 'Set in the plan.', asked: 'Given with the question.', default: 'Our default.' }[
            smallestChange.from
          ]
        }</p>`;
  const cautions = withStandingCautions([
    'One golfer’s change may be practice, time or chance; only the comparison of the groups can say what the drill did.',
  ]).map((caution) => `<li>${proseHtml(caution)}</li>`);
  const definitions = provenance.definitions
    .map(({ metric: column, version }) => `${textHtml(column, 80)}, version ${textHtml(version)}`)
    .join('; ');
  const body = [
    '<header>',
    `<p class="over">For one golfer${provenance.date === '' ? '' : ` · data to ${escapeMarkup(shortLabel(provenance.date, 40))}`}</p>`,
    `<h1>${textHtml(golfer.golfer)}: ${proseHtml(label)}, ${what}</h1>`,
    `<div class="answer"><p class="sentence">${proseHtml(golferWords(finding, golfer))}</p></div>`,
    '</header>',
    figure === null ? '' : figureSection(figure),
    section(
      'What was measured',
      `<p><b>${proseHtml(capital(label))}.</b> ${proseHtml(metric.meaning)}</p>${smallest}`,
    ),
    section('Before you act on this', `<ul>\n${cautions.join('\n')}\n</ul>`),
    section(
      'Where the numbers come from',
      `<p>Made by ${textHtml(provenance.package)} ${textHtml(provenance.version)}${definitions === '' ? '' : ` with the definition ${definitions}`}. The best guess is drawn towards the mean change of the golfer’s group as far as the golfer’s own swings are noisy. This page names nobody else.</p>`,
    ),
  ];
  return pageShell({
    title: `${shortLabel(golfer.golfer, 40)}: ${label} – Proving Range`,
    body: body.filter((part) => part !== '').join('\n'),
    figures: [],
  });
}
