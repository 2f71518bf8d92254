/**
 * Writes what follows from the catalogue of metrics and the table schemas: the metric columns of
 * tables/swings.json and the TypeScript types of rows and metric columns.
 *
 *   npx tsx data-schemas/generate.ts           writes the files
 *   npx tsx data-schemas/generate.ts --check   exits 1 when one of them is out of date
 */
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath, pathToFileURL } from 'node:url';

interface Metric {
  readonly column: string;
  readonly label: string;
  readonly unit: string;
  readonly kind: 'number' | 'ordinal' | 'yes-no';
  readonly sign: string;
  readonly meaning: string;
  readonly possible: readonly [number, number];
  readonly example: number;
}
interface Field {
  readonly name: string;
  readonly description: string;
  readonly type: string;
  readonly constraints?: { readonly required?: boolean; readonly enum?: readonly string[] };
}
interface Table {
  readonly name: string;
  readonly title: string;
  readonly description: string;
  readonly fields: readonly Field[];
}

const ROOT = new URL('..', import.meta.url);
/** In the order in which a later table may refer to an earlier one. */
const TABLES = ['golfers', 'instructors', 'sessions', 'swings', 'assignments', 'practice', 'captures'];
const NOTICE =
  '/** Written by data-schemas/generate.ts. Do not edit: change the schemas and run it again. */\n\n';

function readJson<T>(path: string): T {
  return JSON.parse(readFileSync(new URL(path, ROOT), 'utf8')) as T;
}

function metricFields(metric: Metric): object[] {
  const common = {
    name: metric.column,
    title: metric.label[0]?.toUpperCase() + metric.label.slice(1),
    description: `${metric.meaning} Unit: ${metric.unit}. Sign: ${metric.sign}.`,
  };
  if (metric.kind === 'yes-no')
    return [
      {
        ...common,
        type: 'boolean',
        trueValues: ['yes', 'Yes', 'YES', 'true', 'True', 'TRUE', '1', '1.0'],
        falseValues: ['no', 'No', 'NO', 'false', 'False', 'FALSE', '0', '0.0'],
        example: metric.example === 1 ? 'yes' : 'no',
      },
    ];
  const [minimum, maximum] = metric.possible;
  const type = metric.kind === 'ordinal' ? 'integer' : 'number';
  const value = { ...common, type, constraints: { minimum, maximum }, example: String(metric.example) };
  if (metric.kind === 'ordinal') return [value];
  return [
    value,
    {
      name: `${metric.column}_sd`,
      title: `${common.title}: standard deviation of one value`,
      description: `How uncertain this one value of ${metric.column} is: one standard deviation, in ${metric.unit}.`,
      type: 'number',
      constraints: { minimum: 0 },
    },
  ];
}

function swingsSchema(metrics: readonly Metric[]): object {
  const swings = readJson<Table>('data-schemas/tables/swings.json');
  const generated = new Set(metrics.flatMap((metric) => [metric.column, `${metric.column}_sd`]));
  const first = swings.fields.findIndex((field) => generated.has(field.name));
  const isOwn = (field: Field) => !generated.has(field.name);
  return {
    ...swings,
    fields: [
      ...swings.fields.slice(0, first),
      ...metrics.flatMap(metricFields),
      ...swings.fields.slice(first).filter(isOwn),
    ],
  };
}

function tsType(field: Field): string {
  const values = field.constraints?.enum;
  const base = values
    ? values.map((value) => `'${value}'`).join(' | ')
    : ({ number: 'number', integer: 'number', boolean: 'boolean' }[field.type] ?? 'string');
  return field.constraints?.required ? base : `${base} | null`;
}

function rowTypes(tables: readonly Table[]): string {
  const typeName = (table: Table) =>
    `${table.name[0]?.toUpperCase()}${table.name.slice(1)}`.replace(/s$/, '').concat('Row');
  const parts = tables.map(
    (table) =>
      `/** ${table.description} */\nexport interface ${typeName(table)} {\n${table.fields
        .map((field) => `  /** ${field.description} */\n  readonly ${field.name}: ${tsType(field)};`)
        .join('\n')}\n}\n`,
  );
  const map = `/** The row type of each table, by its name. */\nexport interface TableRows {\n${tables
    .map((table) => `  readonly ${table.name}: ${typeName(table)};`)
    .join('\n')}\n}\n\n/** The name of a table. */\nexport type TableName = keyof TableRows;\n`;
  const names = `/** Every table, in an order in which each refers only to those before it. */\nexport const TABLE_NAMES = [\n${tables
    .map((table) => `  '${table.name}',`)
    .join('\n')}\n] as const satisfies readonly TableName[];\n`;
  return `${NOTICE}${[...parts, map, names].join('\n')}`;
}

/** The files that follow from the schemas, as path from the top of the project and content. */
export function generatedFiles(): { readonly path: string; readonly content: string }[] {
  const { metrics } = readJson<{ metrics: Metric[] }>('data-schemas/metrics.json');
  const swings = swingsSchema(metrics);
  const tables = TABLES.map((name) =>
    name === 'swings' ? (swings as Table) : readJson<Table>(`data-schemas/tables/${name}.json`),
  );
  return [
    { path: 'data-schemas/tables/swings.json', content: `${JSON.stringify(swings, null, 2)}\n` },
    { path: 'src/dataset/generated/rows.ts', content: rowTypes(tables) },
    {
      path: 'src/kinematics/catalogue/generated/columns.ts',
      content: `${NOTICE}/** The metric columns of the swings table. */\nexport type MetricColumn =\n${metrics
        .map((metric) => `  | '${metric.column}'`)
        .join('\n')};\n`,
    },
  ];
}

/** JSON is compared by content, so that a formatter may lay it out. */
function isInDate(path: string, content: string): boolean {
  const url = new URL(path, ROOT);
  if (!existsSync(url)) return false;
  const there = readFileSync(url, 'utf8');
  if (!path.endsWith('.json')) return there === content;
  return JSON.stringify(JSON.parse(there)) === JSON.stringify(JSON.parse(content));
}

/** Paths of generated files that no longer follow from the schemas. */
export function outOfDate(): string[] {
  return generatedFiles()
    .filter(({ path, content }) => !isInDate(path, content))
    .map(({ path }) => path);
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  if (process.argv.includes('--check')) {
    const stale = outOfDate();
    for (const path of stale) console.error(`${path} is out of date: run npx tsx data-schemas/generate.ts`);
    if (stale.length > 0) process.exit(1);
  } else
    for (const { path, content } of generatedFiles())
      if (!isInDate(path, content)) {
        writeFileSync(new URL(path, ROOT), content);
        console.error(`wrote ${fileURLToPath(new URL(path, ROOT))}`);
      }
}
