import { isMetricColumn, metricByColumn } from '../kinematics/index.ts';
import { csvLine } from './csv-write.ts';
import { TABLE_NAMES, type TableName } from './generated/rows.ts';
import { numberLimits, rangeWords } from './read/number-limits.ts';
import { type FieldSchema, isRequired, REQUIRED_TABLES, tableSchema } from './schema.ts';

/**
 * The data dictionary as one page for a browser, without any network: for each table what a row is, every
 * column with its unit, sign, meaning, allowed values and an example, and what it is often confused with.
 * It follows from the schemas and the catalogue of metrics alone.
 *
 * @example TABLE_NAMES.every((name) => dictionaryPage().includes(`${name}.csv`)) // true
 */
export function dictionaryPage(): string {
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Data dictionary</title>
<style>${STYLE}</style>
</head>
<body>
<main>
<h1>Data dictionary</h1>
<p>What each table and column holds. A missing value is an empty cell, never 0 or -999. Decimals have a
point, dates are year-month-day (2026-03-04), and an id is the same everywhere, letter for letter.</p>
<p>Measuring people needs their consent, a guardian's for a minor: write down what was agreed and when.
Use codes in place of names, and keep the list of names outside this folder.</p>
<nav aria-label="Tables"><ul>
${TABLE_NAMES.map((name) => `<li><a href="#${name}">${tableSchema(name).title}</a></li>`).join('\n')}
</ul></nav>
${TABLE_NAMES.map(tableSection).join('\n')}
</main>
</body>
</html>
`;
}

const STYLE = `
body { font: 1rem/1.5 system-ui, sans-serif; color: #1b1b1b; background: #fff; margin: 0; }
main { max-width: 68rem; margin: 0 auto; padding: 1.5rem; }
h2 { margin-top: 2.5rem; border-top: 2px solid #1b1b1b; padding-top: .75rem; }
nav ul { display: flex; flex-wrap: wrap; gap: .25rem 1.25rem; padding: 0; list-style: none; }
a { color: #00507a; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; width: 100%; }
th, td { text-align: left; vertical-align: top; padding: .4rem .6rem; border-bottom: 1px solid #c9c9c9; }
thead th { border-bottom: 2px solid #1b1b1b; }
code { font-family: ui-monospace, monospace; font-size: .92em; }
th code { font-weight: 600; }
td:nth-child(2) { min-width: 12rem; }
td:nth-child(3) { min-width: 7.5rem; }
td:last-child { min-width: 7.5rem; max-width: 13rem; overflow-wrap: anywhere; }
pre { overflow-x: auto; background: #f3f3f3; padding: .75rem; }
.need { display: block; font-weight: 400; font-style: italic; }
details { color: #4a4a4a; margin-top: .25rem; }
@page { margin: 16mm 15mm; }
@media print {
body { font-size: 9pt; }
main { max-width: none; padding: 0; }
.wide { overflow: visible; }
pre { white-space: pre-wrap; overflow-wrap: anywhere; }
tr, pre, section > p { break-inside: avoid; }
h2, section > p { break-after: avoid; }
a { color: inherit; }
}`;

function tableSection(name: TableName): string {
  const schema = tableSchema(name);
  const fields = schema.fields.filter((field) => !field.name.endsWith('_sd'));
  const need = REQUIRED_TABLES.includes(name)
    ? 'This table is needed.'
    : name === 'assignments'
      ? 'This table is needed to test a drill.'
      : 'This table may be left out.';
  return `<section aria-labelledby="${name}">
<h2 id="${name}">${escaped(schema.title)} <code>${name}.csv</code></h2>
<p>${escaped(schema.description)} ${need}</p>
<div class="wide" tabindex="0" role="region" aria-label="Columns of ${name}.csv"><table>
<thead><tr><th scope="col">Column</th><th scope="col">What it is</th><th scope="col">What to write</th><th scope="col">Example</th></tr></thead>
<tbody>
${fields.map((field) => fieldRow(field)).join('\n')}
</tbody></table></div>
<p>A first row, as it stands in the file:</p>
<pre tabindex="0"><code>${escaped(exampleRows(fields))}</code></pre>
</section>`;
}

/** The header and one row; of the many metrics only as many as fit a line. */
function exampleRows(fields: readonly FieldSchema[]): string {
  const shown = fields.filter((field) => !isMetricColumn(field.name) || EXAMPLE_METRICS.has(field.name));
  return `${csvLine(shown.map(({ name }) => name))}${csvLine(shown.map(({ example }) => example ?? ''))}`;
}

const EXAMPLE_METRICS: ReadonlySet<string> = new Set([
  'shaft_lean_impact_deg',
  'club_speed_mps',
  'ground_first',
]);

function fieldRow(field: FieldSchema): string {
  const required = isRequired(field) ? ' <span class="need">needed</span>' : '';
  return `<tr><th scope="row"><code>${field.name.replaceAll('_', '_<wbr>')}</code>${required}</th><td>${meaning(field)}</td><td>${escaped(allowedWords(field))}</td><td>${field.example === undefined ? '' : `<code>${escaped(field.example)}</code>`}</td></tr>`;
}

function meaning(field: FieldSchema): string {
  if (!isMetricColumn(field.name)) return escaped(field.description);
  const metric = metricByColumn(field.name);
  return `${escaped(metric.meaning)}<br>
<strong>Sign:</strong> ${escaped(metric.sign)}.<br>
<strong>Not to be confused with:</strong> ${escaped(metric.confusedWith.join('; '))}.<br>
<strong>Better:</strong> ${escaped(betterWords(metric.goodDirection))} ${escaped(metric.goodDirectionWhy)}
<details><summary>How it is computed, and after whom</summary>
${escaped(metric.equation)}.<br>Source: ${escaped(metric.source)}. Definition ${metric.version}.</details>`;
}

function betterWords(direction: 1 | -1 | 0): string {
  if (direction === 1) return 'more.';
  return direction === -1 ? 'less.' : 'neither more nor less.';
}

/**
 * What a cell of a column may hold, in words.
 * @example allowedWords(tableSchema('assignments').fields[0]!) // 'a word or code'
 */
export function allowedWords(field: FieldSchema): string {
  const { enum: words, unique } = field.constraints ?? {};
  const knownWords = words ?? field.knownValues;
  if (knownWords !== undefined) return `one of: ${knownWords.join(', ')}`;
  switch (field.type) {
    case 'boolean':
      return 'yes or no';
    case 'date':
      return 'a date, year-month-day';
    case 'string':
      return unique === true ? 'a code, used once' : 'a word or code';
    case 'integer':
      return `${rangeWords(numberLimits(field).possible, null).replace('a number', 'a whole number')}`;
    case 'number': {
      const limits = numberLimits(field);
      const usual =
        limits.plausible === limits.possible ? '' : `; ${limits.plausible.join(' to ')} as a rule`;
      return `${rangeWords(limits.possible, limits.unit)}${usual}`;
    }
  }
}

function escaped(text: string): string {
  return text
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;');
}
