import { readFileSync } from 'node:fs';
import { Ajv2020, type ErrorObject, type ValidateFunction } from 'ajv/dist/2020.js';
import type { Model, ModelProblem } from './contract.ts';

let validate: ValidateFunction<Model> | undefined;

function validator(): ValidateFunction<Model> {
  if (!validate) {
    const schema = JSON.parse(
      readFileSync(new URL('../../../data-schemas/model.schema.json', import.meta.url), 'utf8'),
    );
    validate = new Ajv2020({ allErrors: true, strict: false, verbose: true }).compile<Model>(schema);
  }
  return validate;
}

/**
 * Checks that a value is a model as data-schemas/model.schema.json describes it; every fault is reported with
 * its place. Whether the columns exist is a question for the data and is asked later.
 *
 * @example
 * const checked = checkModel({ outcome: 'y', fixed: ['intercpt'] });
 * !checked.ok && checked.problems.map(({ where }) => where) // ['/fixed/0']
 */
export function checkModel(
  value: unknown,
):
  | { readonly ok: true; readonly model: Model }
  | { readonly ok: false; readonly problems: readonly ModelProblem[] } {
  const check = validator();
  if (check(value)) return { ok: true, model: value };
  const problems = (check.errors ?? []).filter((error) => error.keyword !== 'if').map(problemOf);
  const seen = new Set<string>();
  return {
    ok: false,
    problems: problems.filter(({ where, found }) => {
      const key = `${where}\n${found}`;
      if (seen.has(key)) return false;
      seen.add(key);
      return true;
    }),
  };
}

function problemOf(error: ErrorObject): ModelProblem {
  const problem = (where: string, found: string, expected: string, remedy: string): ModelProblem => ({
    kind: 'bad-model',
    where: where === '' ? '/' : where,
    found,
    expected,
    remedy,
  });
  const where = error.instancePath;
  const found = shown(error.data);
  switch (error.keyword) {
    case 'required': {
      const { missingProperty } = error.params as { missingProperty: string };
      const slope = where.startsWith('/random') && missingProperty === 'level';
      return problem(
        where,
        `no ${missingProperty}`,
        `a key ${missingProperty}`,
        slope
          ? 'For a slope on a number write its name alone, in quotes; with a level it is one level of a factor.'
          : `Add ${missingProperty}.`,
      );
    }
    case 'additionalProperties': {
      const { additionalProperty } = error.params as { additionalProperty: string };
      const known = Object.keys((error.parentSchema as { properties?: object }).properties ?? {});
      return problem(
        `${where}/${additionalProperty}`,
        `the key ${additionalProperty}`,
        `one of ${known.join(', ')}`,
        'Take the key out or correct its spelling.',
      );
    }
    case 'const':
    case 'enum': {
      const allowed = error.keyword === 'const' ? [error.schema] : (error.schema as unknown[]);
      return problem(where, found, allowed.map(shown).join(' or '), 'Use one of the values named.');
    }
    case 'not':
      return problem(
        where,
        found,
        'a power other than 0 and 1',
        'Leave the power out: the column itself is its first power.',
      );
    default:
      return problem(
        where,
        found,
        (error.message ?? 'another value').replace(/^must /, 'it must '),
        'Correct the value.',
      );
  }
}

function shown(value: unknown): string {
  const text = JSON.stringify(value) ?? String(value);
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
}
