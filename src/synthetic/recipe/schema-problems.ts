import { readFileSync } from 'node:fs';
import { Ajv, type ErrorObject, type ValidateFunction } from 'ajv';
import addFormats from 'ajv-formats';
import type { RecipeProblem } from './recipe-problem.ts';

let compiled: ValidateFunction | undefined;

function validator(): ValidateFunction {
  if (compiled === undefined) {
    const ajv = new Ajv({
      allErrors: true,
      strict: true,
      strictTypes: false,
      strictRequired: false,
      verbose: true,
    });
    addFormats.default(ajv);
    compiled = ajv.compile(
      JSON.parse(readFileSync(new URL('../../../data-schemas/recipe.schema.json', import.meta.url), 'utf8')),
    );
  }
  return compiled;
}

/** Everything about a recipe that its schema does not allow. */
export function schemaProblems(candidate: unknown): RecipeProblem[] {
  const validate = validator();
  if (validate(candidate)) return [];
  return (validate.errors ?? []).flatMap((error) => {
    const problem = problemOf(error);
    return problem === null ? [] : [problem];
  });
}

function problemOf(error: ErrorObject): RecipeProblem | null {
  const at = error.instancePath === '' ? '/' : error.instancePath;
  const found = shown(error.data);
  const params = error.params as Record<string, unknown>;
  // The fault of a name is told once, by the keyword that sees it in its place.
  if (error.propertyName !== undefined) return null;
  switch (error.keyword) {
    case 'if':
    case 'oneOf':
      // The branch that fits reports its own faults.
      return null;
    case 'additionalProperties': {
      const key = String(params.additionalProperty);
      const known = Object.keys((error.parentSchema?.properties ?? {}) as object);
      return {
        where: `${error.instancePath}/${key}`,
        found: 'a key that is not known here',
        expected: `one of ${known.join(', ')}`,
        remedy: 'Correct the spelling, or take the key out.',
      };
    }
    case 'propertyNames':
      return {
        where: `${error.instancePath}/${String(params.propertyName)}`,
        found: 'a name that cannot be used',
        expected: 'small letters and digits, with hyphens between',
        remedy: 'Give it another name.',
      };
    case 'required':
      return {
        where: `${error.instancePath}/${String(params.missingProperty)}`,
        found: 'nothing',
        expected: 'a value',
        remedy: 'Add it, or name a base that has it.',
      };
    case 'enum':
      return {
        where: at,
        found,
        expected: `one of ${(params.allowedValues as unknown[]).map(shown).join(', ')}`,
        remedy: 'Take one of those.',
      };
    case 'minimum':
    case 'maximum':
    case 'exclusiveMinimum':
    case 'exclusiveMaximum':
      return {
        where: at,
        found,
        expected: `a number ${String(params.comparison)} ${String(params.limit)}`,
        remedy: 'Change the number; see the meaning of the key in data-schemas/recipe.schema.json.',
      };
    case 'type':
      return {
        where: at,
        found,
        expected: `a value of type ${String(params.type)}`,
        remedy: 'Change the value; numbers stand without quotes.',
      };
    default:
      return {
        where: at,
        found,
        expected: error.keyword === 'const' ? shown(params.allowedValue) : (error.message ?? error.keyword),
        remedy: 'See data-schemas/recipe.schema.json.',
      };
  }
}

/** A value in short, as JSON. */
export function shown(value: unknown): string {
  const text = JSON.stringify(value) ?? 'nothing';
  return text.length <= 60 ? text : `${text.slice(0, 57)}...`;
}
