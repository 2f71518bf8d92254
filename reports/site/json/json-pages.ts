import { isMetricColumn, metricByColumn } from '../../../src/kinematics/index.ts';
import { escapeMarkup } from '../../../src/report/index.ts';
import {
  breakable,
  code,
  type Entry,
  idOf,
  type SitePage,
  type SitePart,
  spokenHtml,
  tableHtml,
} from '../page.ts';
import { type Field, fieldsOf } from './fields.ts';
import { definitionsOf, formsOf, hasFields, type JsonSchema, readSchema } from './schema.ts';

/** The JSON files that people write, in the order in which they meet them. */
export const JSON_FILES: Readonly<Record<string, { readonly name: string; readonly used: string }>> = {
  plan: { name: 'Plan', used: 'ask, lock and allocate' },
  layout: { name: 'Layout of captures', used: 'measure' },
  model: { name: 'Model', used: 'fit and fit-sums' },
  'import-mapping': { name: 'Import mapping', used: 'import' },
  recipe: { name: 'Recipe', used: 'generate and plan' },
};

interface Section {
  readonly id: string;
  readonly title: string;
  readonly description: string;
  readonly fields: readonly Field[];
}

/** A page for each JSON file, with every field of it. */
export function jsonPart(): SitePart {
  const files = Object.entries(JSON_FILES).map(([file, { name, used }]) => {
    const schema = readSchema(file);
    return { file, name, used, schema, sections: sectionsOf(schema) };
  });
  return {
    pages: [
      overview(files),
      ...files.map(({ file, name, used, schema, sections }) => page(file, name, used, schema, sections)),
    ],
    entries: files.flatMap(({ file, name, schema, sections }) => [
      {
        name,
        href: `/json/${file}.html`,
        kind: 'JSON file',
        words: (schema.description ?? '').replaceAll('`', ''),
      },
      ...sections.flatMap((section) => section.fields.map((field) => entryOf(file, name, section, field))),
    ]),
  };
}

/** The fields of the file itself, and those of every definition with fields. */
export function sectionsOf(schema: JsonSchema): Section[] {
  const definitions = Object.entries(definitionsOf(schema)).filter(([, one]) =>
    formsOf(one, schema).some(hasFields),
  );
  return [
    { id: '', title: 'The file', description: schema.description ?? '', fields: fieldsOf(schema, schema) },
    ...definitions.map(([name, one]) => ({
      id: name,
      title: spoken(name),
      description: one.description ?? '',
      fields: fieldsOf(one, schema),
    })),
  ].map((section) => ({ ...section, fields: section.fields.filter(({ path }) => path !== '$schema') }));
}

const spoken = (name: string): string => {
  const words = name.replace(/([a-z])([A-Z])/g, '$1 $2').toLowerCase();
  return `${words[0]!.toUpperCase()}${words.slice(1)}`;
};

export const fieldAnchor = ({ id }: { readonly id: string }, { path }: Field): string =>
  idOf(`${id === '' ? 'field' : `of-${id}`} ${path.replaceAll('[]', ' each').replaceAll('*', ' any')}`);

const entryOf = (file: string, name: string, section: Section, field: Field): Entry => ({
  name: section.id === '' ? field.path : `${section.title}: ${field.path}`,
  href: `/json/${file}.html#${fieldAnchor(section, field)}`,
  kind: `field, ${name.toLowerCase()}`,
  words: field.description.replaceAll('`', ''),
});

function page(
  file: string,
  name: string,
  used: string,
  schema: JsonSchema,
  sections: readonly Section[],
): SitePage {
  return {
    path: `json/${file}.html`,
    title: name,
    wide: true,
    body: `<p class="crumb"><a href="/json/index.html">JSON files</a></p>
<h1>${name}</h1>
<p class="lead">${spokenHtml(schema.description ?? '')}</p>
<p>Read by ${used}. The schema is <code>data-schemas/${file}.schema.json</code>; a file that does not fit it is refused with every reason at once.
<code>[]</code> stands for each item of a list, <code>*</code> for any name.</p>
${sections.map(sectionHtml).join('\n')}`,
  };
}

function sectionHtml(section: Section): string {
  const id = section.id === '' ? 'the-file' : `section-${section.id}`;
  return `<section aria-labelledby="${id}">
<h2 id="${id}">${escapeMarkup(section.title)}</h2>
${section.id === '' || section.description === '' ? '' : `<p>${spokenHtml(section.description)}</p>`}
${tableHtml(
  `Fields: ${section.title}`,
  ['Field', 'What it means', 'What to write'],
  section.fields.map((field) => fieldRow(section, field)),
)}
</section>`;
}

function fieldRow(section: Section, field: Field): string {
  const last = field.path.split('.').at(-1)!;
  const metric = isMetricColumn(last)
    ? ` <a href="/metrics.html#entry-${metricByColumn(last).id}">In the catalogue</a>.`
    : '';
  const more =
    field.definition === null
      ? ''
      : ` Its fields: <a href="#section-${field.definition}">${escapeMarkup(spoken(field.definition))}</a>.`;
  return `<tr id="${fieldAnchor(section, field)}"><th scope="row">${code(field.path)}${field.needed ? ' <span class="kind">needed</span>' : ''}</th><td>${spokenHtml(field.description)}${metric}${more}</td><td>${breakable(field.words)}</td></tr>`;
}

function overview(
  files: readonly { file: string; name: string; used: string; schema: JsonSchema }[],
): SitePage {
  return {
    path: 'json/index.html',
    title: 'JSON files',
    body: `<h1>JSON files</h1>
<p class="lead">What is said beforehand is written in small files of JSON: a text that both people and programs read. There are examples to copy in
the tutorials; here is every field.</p>
<ul class="plain">
${files.map(({ file, name, used, schema }) => `<li><a href="/json/${file}.html">${name}</a> <span class="kind">${used}</span><p>${spokenHtml(schema.description ?? '')}</p></li>`).join('\n')}
</ul>`,
  };
}
