import {
  type InstantDefinition,
  type InstantWay,
  instantCatalogue,
  type MetricDefinition,
  metricCatalogue,
  type QuantityDefinition,
  quantityCatalogue,
  type SourceKnown,
} from '../../kinematics/index.ts';
import { escapeMarkup } from '../escape.ts';
import { pageShell } from '../page-shell.ts';
import { type Family, families } from './families.ts';
import { golferSketch } from './golfer-sketch.ts';
import { type Sketch, sketchSvg } from './sketch.ts';

/**
 * The catalogue of metrics as one page for a browser or paper, without any network: the instants of the swing
 * as stick figures with their definitions, and for every metric and quantity a drawing, its equation, sign,
 * unit, landmarks, source and what it is confused with. It follows from the catalogue alone, so the same
 * catalogue gives the same bytes.
 *
 * Throws an Error where an entry of the catalogue has no place on the page, or a place has no entry.
 * @example cataloguePage().includes('<h1>Metric catalogue</h1>') // true
 */
export function cataloguePage(): string {
  return pageShell({ title: 'Metric catalogue', body: catalogueHtml(), figures: [] });
}

/**
 * The content of that page, from its heading on, for a page with something around it.
 * @example metricCatalogue.every(({ id }) => catalogueHtml().includes(`id="entry-${id}"`)) // true
 */
export function catalogueHtml(): string {
  checkPlaces();
  return `<header>
<h1>Metric catalogue</h1>
<p>What every number about a swing means, how it is computed, which sign it has and what it is taken for by mistake.</p>
<p>All definitions are for a golfer of either hand: lead is the side nearer the target, trail the other one. A left-handed
golfer is mirrored before any angle is computed. X points to the target along the ground, Y up, and Z from a
right-handed golfer to the ball. Time zero is impact. Each measured value has its standard deviation beside it, in a column that ends in <code>_sd</code>.</p>
<nav aria-label="On this page"><ul style="columns:15rem 2">
<li><a href="#instants">Instants of the swing</a></li>
${families.map(({ id, title }) => `<li><a href="#${id}">${escapeMarkup(title)}</a></li>`).join('\n')}
</ul></nav>
</header>
${instantsSection()}
${families.map(familySection).join('\n')}`;
}

const entries: ReadonlyMap<string, Entry> = new Map(
  [...metricCatalogue, ...quantityCatalogue].map((entry) => [entry.id, entry]),
);

function checkPlaces(): void {
  const placed = families.flatMap(({ members }) => members);
  const homeless = [...entries.keys()].filter((id) => !placed.includes(id));
  const unknown = placed.filter((id) => !entries.has(id));
  if (homeless.length + unknown.length > 0)
    throw new Error(
      `cataloguePage: put these into a family of families.ts: ${homeless.join(', ') || 'none'}; take these out, the catalogue has none: ${unknown.join(', ') || 'none'}`,
    );
}

function drawing(sketch: Sketch): string {
  return `<figure style="margin:0;flex:0 1 auto;max-width:100%;break-inside:avoid">
${sketchSvg(sketch)}
<figcaption style="max-width:${sketch.width}px">${escapeMarkup(sketch.title)}</figcaption>
</figure>`;
}

const row = (drawings: readonly string[]): string =>
  `<div style="display:flex;flex-wrap:wrap;gap:1.2rem 1.6rem;margin:1rem 0">\n${drawings.join('\n')}\n</div>`;

function instantsSection(): string {
  const figures = instantCatalogue.map(({ name }) => {
    const sketch = golferSketch(name);
    return `<li style="margin:0;flex:0 0 auto;break-inside:avoid">${sketchSvg(sketch)}<span class="soft">${escapeMarkup(name)}</span></li>`;
  });
  return `<section aria-labelledby="instants">
<h2 id="instants">Instants of the swing</h2>
<p>Seen from the ball, the target to the right; the mark is the trail elbow. Each instant carries an uncertainty of at least half a frame, which is part of the
uncertainty of everything read at it. Where an instant has more than one definition, the first is used unless another is asked for, and a
measured swing states the moments of the others too.</p>
<ol style="list-style:none;padding:0;display:flex;flex-wrap:wrap;gap:.8rem .2rem">
${figures.join('\n')}
</ol>
${instantCatalogue.map(instantArticle).join('\n')}
</section>`;
}

const instantAnchor = (name: string): string => `instant-of-${name.replaceAll(' ', '-')}`;

function instantArticle({ name, meaning, unit, sign, confusedWith, definitions }: InstantDefinition): string {
  const ways = definitions.map(
    (way, k) =>
      `<h4>${escapeMarkup(way.way)} <small>definition ${escapeMarkup(way.version)}${k === 0 ? '' : ', another way'}</small></h4>\n${facts(wayFacts(way))}`,
  );
  return `<article style="break-inside:avoid" aria-labelledby="${instantAnchor(name)}">
<h3 id="${instantAnchor(name)}">${capital(escapeMarkup(name))}</h3>
<p>${escapeMarkup(meaning)} In ${UNITS[unit]} from impact: ${escapeMarkup(sign)}. Not to be confused with: ${escapeMarkup(confusedWith.join('; '))}.</p>
${ways.join('\n')}
</article>`;
}

function wayFacts({ meaning, equation, points, source, sourceKnown }: InstantWay): readonly Fact[] {
  return [
    ['In words', escapeMarkup(meaning)],
    ['Equation', `<code>${escapeMarkup(equation)}</code>`],
    ['Landmarks', landmarks(points)],
    ['Source', sourceWords(source, sourceKnown)],
  ];
}

function familySection({ id, title, sketches, members }: Family): string {
  return `<section aria-labelledby="${id}">
<h2 id="${id}">${escapeMarkup(title)}</h2>
${row(sketches.map((sketch) => drawing(sketch())))}
${members.map((member) => entryArticle(entries.get(member)!)).join('\n')}
</section>`;
}

const KNOWN: Readonly<Record<SourceKnown, string>> = {
  'checked against worked examples': 'our numbers are checked against worked examples',
  'abstract read': 'its abstract was read, not the whole paper',
  'from memory': 'cited from memory, not read again',
  'computed here': 'derived and computed here',
  'common practice': 'nothing published was found to cite',
};

const UNITS: Readonly<Record<string, string>> = {
  deg: 'degrees (deg)',
  'deg/s': 'degrees a second (deg/s)',
  s: 'seconds (s)',
  ms: 'milliseconds (ms)',
  '%': 'per cent (%)',
  'm/s': 'metres a second (m/s)',
  cm: 'centimetres (cm)',
  mm: 'millimetres (mm)',
};

type Entry = MetricDefinition | QuantityDefinition;
type Fact = readonly [name: string, markup: string];

function entryArticle(entry: Entry): string {
  return `<article style="break-inside:avoid" aria-labelledby="entry-${entry.id}">
<h3 id="entry-${entry.id}">${capital(escapeMarkup(entry.label))} <small>definition ${escapeMarkup(entry.version)}</small></h3>
<p>${escapeMarkup(entry.meaning)}</p>
${facts([
  ['Equation', `<code>${escapeMarkup(entry.equation)}</code>`],
  ['Unit', escapeMarkup(UNITS[entry.unit] ?? entry.unit)],
  ['Sign', escapeMarkup(entry.sign)],
  ['Read at', readAt(entry)],
  ['Landmarks', allLandmarks(entry)],
  ['Not to be confused with', escapeMarkup(entry.confusedWith.join('; '))],
  ['Source', sourceWords(entry.source, entry.sourceKnown)],
  ['Where it is found', foundIn(entry)],
])}
</article>`;
}

const facts = (rows: readonly Fact[]): string =>
  `<div class="scroll"><table><tbody>
${rows.map(([name, value]) => `<tr><th scope="row" style="width:8.5rem">${name}</th><td>${value}</td></tr>`).join('\n')}
</tbody></table></div>`;

const capital = (text: string): string => `${text[0]!.toUpperCase()}${text.slice(1)}`;

const sourceWords = (source: string, known: SourceKnown): string =>
  `${escapeMarkup(source)} (${KNOWN[known]})`;

const landmarks = (points: readonly string[]): string =>
  escapeMarkup(points.map((point) => point.replaceAll('_', ' ')).join(', ') || 'none');

/** The landmarks it needs, after those that are used before them where there are any. */
function allLandmarks({ points, pointsBefore = [] }: Entry): string {
  return [...pointsBefore, points].map(landmarks).join('; <b>or else</b> ');
}

const code = (text: string): string => `<code>${text.replaceAll('_', '_<wbr>')}</code>`;

function foundIn(entry: Entry): string {
  if ('column' in entry) return `column ${code(entry.column)} of the swings table`;
  const key =
    entry.measured === null
      ? ''
      : `: ${code(entry.measured.key)} under ${code(entry.measured.in)} of <code>measure --json</code>`;
  return `${escapeMarkup(entry.givenBy)}${key}`;
}

function readAt(entry: Entry): string {
  const names = 'instants' in entry ? entry.instants : entry.instant === null ? [] : [entry.instant];
  if (names.length === 0) return 'over several instants, as in the equation';
  return names.map((name) => `<a href="#${instantAnchor(name)}">${escapeMarkup(name)}</a>`).join(', ');
}
