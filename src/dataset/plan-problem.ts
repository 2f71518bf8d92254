import type { ErrorObject } from 'ajv';
import { nearest } from './read/nearest.ts';

/** A fault in a plan as a value. */
export interface PlanProblem {
  /** JSON path, such as `/metric/column`; empty for the plan as a whole. */
  readonly where: string;
  readonly found: string;
  readonly expected: string;
  readonly remedy: string;
}

/** A complaint of the schema in words. */
export function schemaProblem(error: ErrorObject): PlanProblem {
  const found = shown(error.data);
  const { keyword, instancePath: where, params } = error;
  switch (keyword) {
    case 'required':
      return {
        where: `${where}/${params.missingProperty}`,
        found: 'nothing',
        expected: described(error, params.missingProperty),
        remedy: `Add "${params.missingProperty}".`,
      };
    case 'additionalProperties': {
      const name = String(params.additionalProperty);
      const known = Object.keys((error.parentSchema?.properties as object | undefined) ?? {});
      const meant = nearest(name, known);
      return {
        where: `${where}/${name}`,
        found: `"${name}"`,
        expected: `one of: ${known.filter((key) => key !== '$schema').join(', ')}`,
        remedy:
          meant === null ? 'Take it away; nothing reads it.' : `Write "${meant}", if that is what is meant.`,
      };
    }
    case 'enum': {
      const allowed = (params.allowedValues as readonly unknown[]).map(String);
      const meant = typeof error.data === 'string' ? nearest(error.data, allowed) : null;
      return {
        where,
        found,
        expected: `one of: ${allowed.join(', ')}`,
        remedy:
          meant === null
            ? 'Use one of these, letter for letter.'
            : `Write ${meant}, if that is what is meant.`,
      };
    }
    default:
      return { where, found, expected: limitWords(error), remedy: 'Correct the value.' };
  }
}

/** What the schema allows at this place, in words. */
function limitWords({ keyword, params, parentSchema }: ErrorObject): string {
  const about = typeof parentSchema?.description === 'string' ? ` ${parentSchema.description}` : '';
  switch (keyword) {
    case 'type':
      return `${TYPE_WORDS[String(params.type)] ?? params.type}.${about}`;
    case 'minLength':
      return `a text that is not empty.${about}`;
    case 'maxLength':
      return `at most ${params.limit} characters.${about}`;
    case 'minimum':
      return `${params.limit} or more.${about}`;
    case 'maximum':
      return `${params.limit} or less.${about}`;
    case 'exclusiveMinimum':
      return `more than ${params.limit}.${about}`;
    case 'minItems':
      return `at least ${params.limit} in the list.${about}`;
    case 'uniqueItems':
      return `each once.${about}`;
    default:
      return `a value that fits.${about}`;
  }
}

const TYPE_WORDS: Readonly<Record<string, string>> = {
  string: 'a text in double quotes',
  number: 'a number',
  object: 'an object in { }',
  array: 'a list in [ ]',
};

function described(error: ErrorObject, property: string): string {
  const properties = error.parentSchema?.properties as Record<string, { description?: string }> | undefined;
  return properties?.[property]?.description ?? `"${property}"`;
}

/** A value as it stands in the file. */
export function shown(value: unknown): string {
  return value === undefined ? 'nothing' : JSON.stringify(value);
}
