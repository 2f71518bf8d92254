import { isMetricColumn, metricByColumn } from '../../../src/kinematics/index.ts';
import { formsOf, hasFields, type JsonSchema, refOf, resolved } from './schema.ts';
import { valueWords } from './value-words.ts';

/** One field of a JSON file. */
export interface Field {
  /** From the top of its section: `arms.drill`, `exclusions[].reason`, `metrics.*`. */
  readonly path: string;
  readonly needed: boolean;
  /** What it means; empty where neither the schema nor the catalogue of metrics says so. */
  readonly description: string;
  /** What may be written there. */
  readonly words: string;
  /** The definition that tells of its own fields. */
  readonly definition: string | null;
}

/** The fields of an object and of all objects in it, in the order of the schema. */
export function fieldsOf(schema: JsonSchema, root: JsonSchema, above = ''): Field[] {
  const forms = formsOf(schema, root);
  const found = forms.flatMap((form) => fieldsOfForm(form, root, above, forms.length > 1));
  const byPath = new Map<string, Field>();
  for (const field of found) {
    const known = byPath.get(field.path);
    if (known === undefined) byPath.set(field.path, field);
    else if (!known.words.includes(field.words))
      byPath.set(field.path, { ...known, words: `${known.words}; or ${field.words}` });
  }
  return [...byPath.values()];
}

function fieldsOfForm(form: JsonSchema, root: JsonSchema, above: string, oneOfSeveral: boolean): Field[] {
  const named = Object.entries(form.properties ?? {}).map(
    ([name, inner]) => [name, inner, (form.required ?? []).includes(name) && !oneOfSeveral] as const,
  );
  const { additionalProperties: any } = form;
  const rest = typeof any === 'object' ? ([['*', any, false]] as const) : [];
  return [...named, ...rest].flatMap(([name, inner, needed]) => {
    const path = above === '' ? name : `${above}.${name}`;
    return [fieldOf(path, name, inner, needed, root), ...below(path, inner, root)];
  });
}

function fieldOf(path: string, name: string, inner: JsonSchema, needed: boolean, root: JsonSchema): Field {
  const whole = resolved(inner, root);
  return {
    path,
    needed,
    description: whole.description ?? wordsOfName(name),
    words: valueWords(inner, root),
    definition: definitionWithFields(inner, root),
  };
}

/** What a name says by itself: a metric, or any name that the writer chooses. */
function wordsOfName(name: string): string {
  if (name === '*') return 'Under each name that you choose.';
  return isMetricColumn(name) ? `${metricByColumn(name).label}.` : '';
}

/** Fields of what stands in a field, unless they have a section of their own. */
function below(path: string, inner: JsonSchema, root: JsonSchema): Field[] {
  if (definitionWithFields(inner, root) !== null) return [];
  return formsOf(inner, root).flatMap((form) => {
    if (hasFields(form)) return fieldsOf(form, root, path);
    return form.items === undefined ? [] : below(`${path}[]`, form.items, root);
  });
}

/** The definition with fields that a value, or each item of a list, refers to. */
export function definitionWithFields(schema: JsonSchema, root: JsonSchema): string | null {
  const name = refOf(schema);
  if (name !== null) return formsOf(schema, root).some(hasFields) ? name : null;
  return schema.items === undefined ? null : definitionWithFields(schema.items, root);
}
