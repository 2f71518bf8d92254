import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** The part of JSON Schema that data-schemas/ uses. */
export interface JsonSchema {
  readonly title?: string;
  readonly description?: string;
  readonly type?: string | readonly string[];
  readonly enum?: readonly unknown[];
  readonly const?: unknown;
  readonly properties?: Readonly<Record<string, JsonSchema>>;
  readonly required?: readonly string[];
  readonly additionalProperties?: boolean | JsonSchema;
  readonly propertyNames?: JsonSchema;
  readonly items?: JsonSchema;
  readonly oneOf?: readonly JsonSchema[];
  readonly anyOf?: readonly JsonSchema[];
  readonly if?: JsonSchema;
  readonly then?: JsonSchema;
  readonly else?: JsonSchema;
  readonly $ref?: string;
  readonly definitions?: Readonly<Record<string, JsonSchema>>;
  readonly $defs?: Readonly<Record<string, JsonSchema>>;
  readonly minimum?: number;
  readonly maximum?: number;
  readonly exclusiveMinimum?: number;
  readonly exclusiveMaximum?: number;
  readonly minItems?: number;
  readonly maxItems?: number;
  readonly pattern?: string;
  readonly format?: string;
  readonly default?: unknown;
}

/** A JSON file that people write, by the name of its schema. */
export function readSchema(name: string): JsonSchema {
  const file = fileURLToPath(new URL(`../../../data-schemas/${name}.schema.json`, import.meta.url));
  return JSON.parse(readFileSync(file, 'utf8')) as JsonSchema;
}

export const definitionsOf = (root: JsonSchema): Readonly<Record<string, JsonSchema>> =>
  root.definitions ?? root.$defs ?? {};

/** The name of the definition that a schema refers to; null where it stands for itself. */
export const refOf = ({ $ref }: JsonSchema): string | null => $ref?.split('/').at(-1) ?? null;

/** A schema with the definition that it refers to in its place; a description beside the reference stays. */
export function resolved(schema: JsonSchema, root: JsonSchema): JsonSchema {
  const name = refOf(schema);
  if (name === null) return schema;
  const goal = definitionsOf(root)[name];
  if (goal === undefined) throw new Error(`resolved: the schema has no definition '${name}'`);
  const { $ref: _, ...beside } = schema;
  return { ...resolved(goal, root), ...beside };
}

/** The forms that a value may take: of `oneOf` and `anyOf` each, of a chain of if, then and else each branch. */
export function formsOf(schema: JsonSchema, root: JsonSchema): JsonSchema[] {
  const whole = resolved(schema, root);
  const { oneOf, anyOf, if: condition, then: yes, else: no, ...own } = whole;
  const several = oneOf ?? anyOf;
  if (several?.every((one) => one.required === undefined || one.properties !== undefined))
    return several.flatMap((one) => formsOf({ ...own, ...resolved(one, root) }, root));
  if (condition !== undefined && (yes !== undefined || no !== undefined))
    return [merged(own, condition, yes), merged(own, undefined, no)].flatMap((one) => formsOf(one, root));
  return [own];
}

function merged(own: JsonSchema, ...parts: readonly (JsonSchema | undefined)[]): JsonSchema {
  const all = [own, ...parts.filter((part) => part !== undefined)];
  const properties = Object.assign({}, ...all.map((part) => part.properties ?? {}));
  const required = [...new Set(all.flatMap((part) => part.required ?? []))];
  return { ...Object.assign({}, ...all), properties, required };
}

/** Whether a form has fields. */
export const hasFields = (schema: JsonSchema): boolean =>
  Object.keys(schema.properties ?? {}).length > 0 || typeof schema.additionalProperties === 'object';
