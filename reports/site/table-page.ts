import {
  allowedWords,
  type FieldSchema,
  isRequired,
  REQUIRED_TABLES,
  TABLE_NAMES,
  type TableName,
  tableSchema,
} from '../../src/dataset/index.ts';
import { isMetricColumn, metricByColumn } from '../../src/kinematics/index.ts';
import { escapeMarkup } from '../../src/report/index.ts';
import { code, type SitePart, tableHtml } from './page.ts';

/** Every table and column of a dataset; what a metric means in full stands in the catalogue. */
export function tablePart(): SitePart {
  return {
    pages: [
      {
        path: 'tables.html',
        title: 'Tables',
        wide: true,
        body: `<h1>Tables</h1>
<p class="lead">A dataset is a folder of plain spreadsheets (CSV). <code>init</code> writes an empty one, <code>check</code> says what is wrong in one, all at once.</p>
<p>A missing value is an empty cell, never 0 or -999. Decimals have a point, dates are year-month-day (2026-03-04), and an id is the same everywhere,
letter for letter. Columns of your own may stand beside these. A metric may have its standard deviation beside it, in a column that ends in <code>_sd</code>.</p>
<p>Measuring people needs their consent, a guardian's for a minor: write down what was agreed and when. Use codes in place of names, and keep the
list of names outside the folder.</p>
<nav aria-label="Tables"><ul class="columns">
${TABLE_NAMES.map((name) => `<li><a href="#${name}"><code>${name}.csv</code></a> <span class="kind">${needWords(name)}</span></li>`).join('\n')}
</ul></nav>
${TABLE_NAMES.map(tableSection).join('\n')}`,
      },
    ],
    entries: TABLE_NAMES.flatMap((name) => {
      const { fields, description } = tableSchema(name);
      return [
        { name: `${name}.csv`, href: `/tables.html#${name}`, kind: 'table', words: description },
        ...fields
          .filter((field) => !isSpread(field))
          .map((field) => ({
            name: field.name,
            href: `/tables.html#${columnAnchor(name, field)}`,
            kind: `column of ${name}.csv`,
            words: isMetricColumn(field.name) ? metricByColumn(field.name).meaning : field.description,
          })),
      ];
    }),
  };
}

/** A `_sd` column stands in the row of its metric. */
const isSpread = ({ name }: FieldSchema): boolean => name.endsWith('_sd');

export const columnAnchor = (table: TableName, { name }: FieldSchema): string => `${table}-${name}`;

const needWords = (name: TableName): string =>
  REQUIRED_TABLES.includes(name)
    ? 'needed'
    : name === 'assignments'
      ? 'needed to test a drill'
      : 'may be left out';

function tableSection(name: TableName): string {
  const { title, description, fields } = tableSchema(name);
  const spreads = new Set(fields.filter(isSpread).map((field) => field.name));
  return `<section aria-labelledby="${name}">
<h2 id="${name}">${escapeMarkup(title)} <span class="kind"><code>${name}.csv</code>, ${needWords(name)}</span></h2>
<p>${escapeMarkup(description)}</p>
${tableHtml(
  `Columns of ${name}.csv`,
  ['Column', 'What it is', 'What to write', 'Example'],
  fields
    .filter((field) => !isSpread(field))
    .map((field) => columnRow(name, field, spreads.has(`${field.name}_sd`))),
)}
</section>`;
}

function columnRow(table: TableName, field: FieldSchema, hasSpread: boolean): string {
  const spread = hasSpread
    ? `<br><span class="kind" id="${table}-${field.name}_sd">and its uncertainty ${code(`${field.name}_sd`)}</span>`
    : '';
  return `<tr id="${columnAnchor(table, field)}"><th scope="row">${code(field.name)}${isRequired(field) ? ' <span class="kind">needed</span>' : ''}${spread}</th><td>${meaning(field)}</td><td>${escapeMarkup(allowedWords(field))}</td><td>${field.example === undefined ? '' : code(field.example)}</td></tr>`;
}

function meaning(field: FieldSchema): string {
  if (!isMetricColumn(field.name)) return escapeMarkup(field.description);
  const { id, meaning: words, sign } = metricByColumn(field.name);
  return `${escapeMarkup(words)} Sign: ${escapeMarkup(sign)}. <a href="/metrics.html#entry-${id}">Equation, drawing and source<span class="unseen"> of ${escapeMarkup(field.name)}</span></a>`;
}
