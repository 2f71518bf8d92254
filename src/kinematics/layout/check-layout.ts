import { readFileSync } from 'node:fs';
import { Ajv, type ErrorObject, type ValidateFunction } from 'ajv';
import type { CaptureProblem, CaptureResult } from '../problem.ts';
import { type Layout, swingSideName } from './layout.ts';

let compiled: ValidateFunction<Layout> | undefined;

function validator(): ValidateFunction<Layout> {
  compiled ??= new Ajv({ allErrors: true, verbose: true }).compile<Layout>(
    JSON.parse(readFileSync(new URL('../../../data-schemas/layout.schema.json', import.meta.url), 'utf8')),
  );
  return compiled;
}

/**
 * Checks a layout against data-schemas/layout.schema.json and against itself (a landmark given twice, up along
 * the target line). All problems at once, each with its JSON path.
 *
 * @example checkLayout({ plays: 'both' }).ok // false
 */
export function checkLayout(layout: unknown): CaptureResult<Layout> {
  const validate = validator();
  if (!validate(layout)) return { ok: false, problems: distinct((validate.errors ?? []).flatMap(asProblem)) };
  const problems = [...twice(layout), ...alongUp(layout), ...unknownInSegments(layout)];
  return problems.length > 0 ? { ok: false, problems } : { ok: true, value: layout };
}

function asProblem(error: ErrorObject): CaptureProblem[] {
  // The members of a oneOf or if report beside the choice itself; the choice says enough.
  if (error.schemaPath.includes('/oneOf/') || error.keyword === 'if') return [];
  const key =
    error.keyword === 'required'
      ? `/${(error.params as { missingProperty: string }).missingProperty}`
      : error.keyword === 'additionalProperties'
        ? `/${(error.params as { additionalProperty: string }).additionalProperty}`
        : error.keyword === 'propertyNames'
          ? `/${(error.params as { propertyName: string }).propertyName}`
          : '';
  if (error.schemaPath.includes('/propertyNames/')) return [];
  const where = `layout ${error.instancePath}${key}` || 'layout';
  return [{ where, found: foundOf(error), expected: expectedOf(error), remedy: remedyOf(error) }];
}

function foundOf(error: ErrorObject): string {
  if (error.keyword === 'required') return 'nothing';
  if (error.keyword === 'additionalProperties') return 'a key that no layout has';
  if (error.keyword === 'propertyNames') return 'this name';
  const text = JSON.stringify(error.data) ?? 'nothing';
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
}

function expectedOf(error: ErrorObject): string {
  const { parentSchema, params } = error;
  if (error.keyword === 'enum')
    return `one of ${(params as { allowedValues: unknown[] }).allowedValues.join(', ')}`;
  if (error.keyword === 'required') {
    const key = (params as { missingProperty: string }).missingProperty;
    const described = (parentSchema?.properties as Record<string, { description?: string }> | undefined)?.[
      key
    ];
    return described?.description ?? 'a value';
  }
  if (error.keyword === 'oneOf') return (parentSchema?.description as string | undefined) ?? 'a value';
  if (error.keyword === 'propertyNames')
    return 'a name of small letters, digits and underscores, such as trail_elbow';
  if (error.keyword === 'additionalProperties')
    return `only ${Object.keys((parentSchema?.properties as object | undefined) ?? {}).join(', ')}`;
  return error.message ?? 'a valid value';
}

function remedyOf(error: ErrorObject): string {
  if (error.keyword === 'required') return 'Add it to the layout file.';
  if (error.keyword === 'additionalProperties') return 'Remove it, or correct its spelling.';
  return 'Correct it in the layout file.';
}

function twice(layout: Layout): CaptureProblem[] {
  const seen = new Map<string, string>();
  return Object.keys(layout.landmarks).flatMap((name) => {
    const side = swingSideName(name, layout.plays);
    const before = seen.get(side);
    seen.set(side, name);
    if (before === undefined) return [];
    return [
      {
        where: `layout /landmarks/${name}`,
        found: `${before} and ${name}, which are the same landmark of a golfer who plays ${layout.plays}`,
        expected: 'each landmark once',
        remedy: 'Name the sides either lead_ and trail_, or left_ and right_.',
      },
    ];
  });
}

function alongUp({ targetLine, up }: Layout): CaptureProblem[] {
  if (!('axis' in targetLine) || targetLine.axis[1] !== up[1]) return [];
  return [
    {
      where: 'layout /targetLine/axis',
      found: `${targetLine.axis} while up is ${up}`,
      expected: 'an axis along the ground',
      remedy: 'Correct up or targetLine.',
    },
  ];
}

function unknownInSegments({ rigidSegments = {}, landmarks, plays }: Layout): CaptureProblem[] {
  const known = new Set(Object.keys(landmarks).map((name) => swingSideName(name, plays)));
  return Object.entries(rigidSegments).flatMap(([segment, names]) =>
    names
      .filter((name) => !known.has(swingSideName(name, plays)))
      .map((name) => ({
        where: `layout /rigidSegments/${segment}`,
        found: `${name}, which landmarks does not name`,
        expected: `landmarks of the layout: ${Object.keys(landmarks).join(', ')}`,
        remedy: 'Correct its spelling, or add it to landmarks.',
      })),
  );
}

function distinct(problems: CaptureProblem[]): CaptureProblem[] {
  const seen = new Set<string>();
  return problems.filter((problem) => {
    const key = `${problem.where} ${problem.expected}`;
    if (seen.has(key)) return false;
    seen.add(key);
    return true;
  });
}
