import { checkPlan } from '../plan.ts';
import type { PlanProblem } from '../plan-problem.ts';
import { fieldHashes } from './fields.ts';
import { sealOf } from './lock-plan.ts';
import type { LockedPlan } from './plan-lock.ts';

export type OpenedPlan =
  | { readonly valid: true; readonly locked: LockedPlan; readonly problems: readonly [] }
  | { readonly valid: false; readonly problems: readonly PlanProblem[] };

const PARTS = ['kind', 'format', 'plan', 'data', 'fields', 'seal'] as const;
const REMEDY =
  'Go back to the file as it was locked. A plan that has to change is a new plan: write it, say why, and lock that one.';

/** Whether a JSON value is meant to be a locked plan. */
export function isLockedPlan(value: unknown): boolean {
  return isObject(value) && (value.kind === 'locked plan' || ('seal' in value && 'plan' in value));
}

/** Opens a locked plan: whole and untouched, or everything that was altered in it, by name. */
export function openLockedPlan(value: unknown): OpenedPlan {
  if (!isObject(value)) return refuse([altered('', 'no object', 'a locked plan')]);
  const shape = shapeProblems(value);
  if (shape.length > 0) return refuse(shape);
  const { seal, ...body } = value as unknown as LockedPlan;
  if (sealOf(body) !== seal) return refuse(tamperings(body, seal));
  const checked = checkPlan(body.plan);
  if (!checked.valid)
    return refuse(checked.problems.map((problem) => ({ ...problem, where: `/plan${problem.where}` })));
  return { valid: true, locked: { ...body, seal }, problems: [] };
}

function shapeProblems(value: Readonly<Record<string, unknown>>): PlanProblem[] {
  const problems: PlanProblem[] = [];
  for (const part of PARTS)
    if (!Object.hasOwn(value, part))
      problems.push(altered(`/${part}`, 'nothing', 'what the lock wrote there'));
  for (const key of Object.keys(value))
    if (!(PARTS as readonly string[]).includes(key))
      problems.push(altered(`/${key}`, 'something the lock did not write', 'nothing'));
  if (problems.length > 0) return problems;
  if (value.kind !== 'locked plan')
    problems.push(altered('/kind', JSON.stringify(value.kind), '"locked plan"'));
  if (value.format !== 1) problems.push(altered('/format', JSON.stringify(value.format), '1'));
  for (const part of ['plan', 'data', 'fields'] as const)
    if (!isObject(value[part])) problems.push(altered(`/${part}`, JSON.stringify(value[part]), 'an object'));
  if (typeof value.seal !== 'string' || !/^[0-9a-f]{64}$/.test(value.seal))
    problems.push(altered('/seal', JSON.stringify(value.seal), '64 hexadecimal characters'));
  return problems;
}

/** The seal does not fit: which of the fields are not as their own hashes say. */
function tamperings(body: Omit<LockedPlan, 'seal'>, seal: string): PlanProblem[] {
  const now = fieldHashes({ plan: body.plan, data: body.data });
  const then = body.fields;
  const problems: PlanProblem[] = [];
  for (const [path, hash] of Object.entries(now))
    if (!Object.hasOwn(then, path))
      problems.push(altered(path, 'something that was added after the plan was locked', 'nothing'));
    else if (then[path] !== hash)
      problems.push(
        altered(
          path,
          shownAt(body, path),
          `the value with the SHA-256 ${String(then[path]).slice(0, 16)}...`,
        ),
      );
  for (const path of Object.keys(then))
    if (!Object.hasOwn(now, path))
      problems.push(altered(path, 'nothing; it was taken away after the plan was locked', 'what was locked'));
  if (problems.length > 0) return problems;
  return [
    altered(
      '/seal',
      `${seal.slice(0, 16)}..., which does not belong to this file: the seal, or a value together with its hash under /fields, was rewritten`,
      'the seal as it was told when the plan was locked',
    ),
  ];
}

function shownAt(body: object, path: string): string {
  const keys = path
    .split('/')
    .slice(1)
    .map((key) => key.replaceAll('~1', '/').replaceAll('~0', '~'));
  const value = keys.reduce<unknown>((at, key) => (at as Record<string, unknown>)[key], body);
  const text = JSON.stringify(value) ?? 'nothing';
  return text.length > 80 ? `${text.slice(0, 80)}...` : text;
}

function altered(where: string, found: string, expected: string): PlanProblem {
  return { where, found, expected, remedy: REMEDY };
}

function refuse(problems: readonly PlanProblem[]): OpenedPlan {
  return { valid: false, problems };
}

function isObject(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
