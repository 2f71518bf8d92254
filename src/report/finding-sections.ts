import {
  type Check,
  commandOf,
  type Finding,
  type LeftOut,
  type PlannedPart,
  type PlannedTiming,
  type Sensitivity,
} from '../studies/index.ts';
import { escapeMarkup, shortLabel } from './escape.ts';
import { capital, estimateData, estimateRange, estimatesTableHtml, estimateValue } from './estimate-html.ts';
import { notTheDifference } from './not-the-difference.ts';
import { formatCount, formatLevel, formatNumber } from './numbers.ts';
import { withStandingCautions } from './standing-cautions.ts';
import { paragraphHtml, proseHtml, textHtml } from './text-html.ts';
import { smallestWords, verdictShort } from './verdict-words.ts';

/** The parts of a Finding's page that every study has, each a section with a heading, or '' where empty. */

export function section(heading: string, body: string): string {
  return body === '' ? '' : `<section>\n<h2>${heading}</h2>\n${body}\n</section>`;
}

const paragraph = (text: string): string => (text === '' ? '' : paragraphHtml(text));

export function metricSection({ metric, smallestChange }: Finding): string {
  const smallest =
    smallestChange === null
      ? ''
      : paragraphHtml(
          smallestChange.why,
          `<b>The smallest change that matters: ${escapeMarkup(smallestWords(smallestChange))}.</b> `,
        );
  return section(
    'What was measured',
    `<p><b>${escapeMarkup(capital(shortLabel(metric.label, 200)))}.</b> ${proseHtml(metric.meaning)}</p>${smallest}`,
  );
}

/** Studies that read no data of golfers: nothing was left out, and nothing was planned before them. */
const SIMULATED: readonly string[] = ['plan', 'calibration'];

/** Beyond so many estimates the later ones are folded on a screen; paper shows them all. */
const mostEstimates = 9;
const estimatesInSight = 7;

export function estimatesSection(finding: Finding): string {
  const { estimates, study } = finding;
  if (estimates.length === 0) return '';
  const inSight = estimates.length > mostEstimates ? estimatesInSight : estimates.length;
  const rest = estimates.slice(inSight);
  const table = estimatesTableHtml(
    estimates.slice(0, inSight),
    finding,
    'Each estimate with its interval. The first answers the question.',
  );
  const more =
    rest.length === 0
      ? ''
      : `\n<details class="more"><summary>${rest.length} more numbers</summary>\n${estimatesTableHtml(rest, finding, 'The other estimates, each with its interval.')}\n</details>`;
  return section(
    SIMULATED.includes(study)
      ? 'What the simulation says, number by number'
      : 'What the data say, number by number',
    table + paragraph(notTheDifference(finding)) + more,
  );
}

export function modelSection({ model }: Finding): string {
  const objects = model.objects
    .map((object) => `<pre><code>${escapeMarkup(JSON.stringify(object, null, 2) ?? '')}</code></pre>`)
    .join('\n');
  const details =
    objects === '' ? '' : `<details><summary>The model as an object</summary>\n${objects}\n</details>`;
  return section('The model in words', paragraph(model.words) + details);
}

const states: Readonly<Record<Check['outcome'], string>> = {
  good: 'in order',
  look: 'look at this',
  bad: 'a problem',
  'not-possible': 'not possible here',
};

export function checksSection({ checks }: Finding): string {
  if (checks.length === 0) return '';
  const items = checks.map(
    ({ name, outcome, words }) =>
      `<li><b>${proseHtml(capital(name))}</b> <span class="state ${outcome}">${states[outcome]}</span><br>${proseHtml(words)}</li>`,
  );
  return section('Checks on the data and the model', `<ul class="checks">\n${items.join('\n')}\n</ul>`);
}

function sensitivityRow({ name, what, words, verdict, estimate }: Sensitivity, finding: Finding): string {
  const number =
    estimate === null
      ? '<td><span class="value">not estimable</span>'
      : `<td ${estimateData(estimate)}><span class="value">${escapeMarkup(estimateValue(estimate, finding))}</span><span class="range">${escapeMarkup(estimateRange(estimate, finding))}</span><span class="fine">${formatLevel(estimate.level)} interval</span>`;
  return `<tr><th scope="row"><span class="name">${proseHtml(capital(name))}</span><span class="meaning">${proseHtml(
    [what, words]
      .filter((part) => part !== '')
      .map(sentence)
      .join(' '),
  )}</span></th>${number}<span class="fine">${verdictShort(verdict, finding)}</span></td></tr>`;
}

/** The text as a sentence: a capital first, a full stop last. */
function sentence(text: string): string {
  return /[.!?…]$/.test(text) ? capital(text) : `${capital(text)}.`;
}

export function sensitivitySection(finding: Finding): string {
  const { sensitivity } = finding;
  if (sensitivity.length === 0) return '';
  return section(
    'Would another choice change the answer?',
    `<table class="results"><caption>The first estimate again, each time with one choice changed.</caption>
<thead><tr><th scope="col">What was changed</th><th scope="col">Estimate and verdict</th></tr></thead>
<tbody>\n${sensitivity.map((row) => sensitivityRow(row, finding)).join('\n')}\n</tbody></table>`,
  );
}

/** More ids than this are not read on a page; finding.json has them all. */
const mostIds = 2000;

function leftOutItem({ table, ids, count, why }: LeftOut): string {
  const rest =
    ids.length > mostIds ? ` and ${formatNumber(ids.length - mostIds, 0)} more, all in finding.json` : '';
  const list =
    ids.length === 0
      ? ''
      : `<details><summary>${formatCount(ids.length, 'id', 'ids')}</summary><p class="ids">${ids
          .slice(0, mostIds)
          .map((id) => textHtml(id))
          .join(' ')}${rest}</p></details>`;
  return `<li><b>${formatNumber(count, 0)} ${textHtml(count === 1 ? table.replace(/s$/, '') : table)}.</b> ${proseHtml(sentence(why))}${list}</li>`;
}

export function leftOutSection({ leftOut, study }: Finding): string {
  if (SIMULATED.includes(study)) return '';
  const body =
    leftOut.length === 0
      ? '<p>Nothing: every row that belongs to the question was used.</p>'
      : `<ul class="checks">\n${leftOut.map(leftOutItem).join('\n')}\n</ul>`;
  return section('What was left out or used only in part, and why', body);
}

export function cautionsSection({ cautions }: Finding): string {
  const items = withStandingCautions(cautions).map((caution) => `<li>${proseHtml(caution)}</li>`);
  return section('Before you act on this', `<ul>\n${items.join('\n')}\n</ul>`);
}

const leads: Readonly<Record<PlannedTiming, string>> = {
  'no-plan': 'Not planned before the data.',
  'not-known': 'Written in a plan; when it was written cannot be shown.',
  'before-the-data': 'Planned and locked before the data.',
  'after-the-first-phase': 'Planned and locked before the data that answer.',
  'after-the-data': 'Planned, and locked when data that answer were there already.',
};

const partStates: Readonly<Record<PlannedPart['state'], readonly [string, string]>> = {
  'as-planned': ['good', 'as planned'],
  changed: ['bad', 'changed'],
  exploratory: ['look', 'exploratory'],
};

export function plannedSection({ planned, study }: Finding): string {
  const { parts = [], timing = 'not-known' } = planned;
  const lead = planned.planned ? leads[timing] : leads['no-plan'];
  const items = parts.map(({ part, state, words }) => {
    const [look, name] = partStates[state];
    return `<li><b>${proseHtml(capital(part))}</b> <span class="state ${look}">${name}</span>${words === '' ? '' : `<br>${proseHtml(words)}`}</li>`;
  });
  const list = items.length === 0 ? '' : `\n<ul class="checks">\n${items.join('\n')}\n</ul>`;
  return section(
    'Planned or not',
    `<p>${SIMULATED.includes(study) ? '' : `<b>${lead}</b> `}${proseHtml(planned.words)}</p>${list}`,
  );
}

export function provenanceSection(finding: Finding): string {
  const { provenance } = finding;
  const { package: name, version, inputs, definitions, seed, date } = provenance;
  const files = inputs
    .map(
      ({ file, sha256 }) =>
        `<tr><th scope="row">${textHtml(file)}</th><td class="hash">${escapeMarkup(shortLabel(sha256, 80))}</td></tr>`,
    )
    .join('\n');
  const rules = definitions
    .map(({ metric: column, version: own }) => `<li>${textHtml(column, 80)}, version ${textHtml(own)}</li>`)
    .join('');
  const command = [
    'npm run --silent cli --',
    ...commandOf(finding).map((words) => shortLabel(words, 400)),
    '--out NEW-FOLDER',
  ];
  return section(
    'Where the numbers come from',
    `<dl class="facts-list">
<dt>Made by</dt><dd>${textHtml(name)} ${textHtml(version)}</dd>
${date === '' ? '' : `<dt>Newest date in the data</dt><dd>${textHtml(date)}</dd>`}
<dt>Seed of every random step</dt><dd>${seed === null ? 'none was needed' : String(seed)}</dd>
<dt>Definitions</dt><dd>${rules === '' ? 'none beyond the columns themselves' : `<ul>${rules}</ul>`}</dd>
</dl>
${files === '' ? '' : `<table><caption>Files read, each with its SHA-256: if a file changes by one letter, so does this number.</caption><thead><tr><th scope="col">File</th><th scope="col">SHA-256</th></tr></thead>\n<tbody>\n${files}\n</tbody></table>`}
<h3>Run it again</h3>
<p>With the same files, version and seed, this command gives the same answer, byte for byte:</p>
<pre><code>${command.map((token) => `<span class="token">${escapeMarkup(token)}</span>`).join(' ')}</code></pre>`,
  );
}
