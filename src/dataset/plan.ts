import { readFileSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { Ajv } from 'ajv';
import { isMetricColumn, type MetricColumn, metricCatalogue } from '../kinematics/index.ts';
import type { SessionRow } from './generated/rows.ts';
import { sha256Hex } from './hash.ts';
import { codeOf } from './new-files.ts';
import { type PlanProblem, schemaProblem, shown } from './plan-problem.ts';
import { nearest } from './read/nearest.ts';

/** A plan: what data-schemas/plan.schema.json describes. What is left out is the study's stated default. */
export interface Plan {
  readonly $schema?: string;
  readonly study: 'drill-trial';
  readonly question: string;
  /** The one number that decides. */
  readonly metric: { readonly column: MetricColumn; readonly why?: string };
  readonly trial_id?: string;
  readonly design?: 'parallel' | 'crossover' | 'stepped-start' | 'before-after' | 'infer';
  /** As the arms are written in assignments.csv. */
  readonly arms?: { readonly control?: string; readonly drill: readonly string[] };
  /** In the unit of the metric, always positive. */
  readonly smallestChangeThatMatters?: { readonly value: number; readonly why: string };
  readonly goodDirection?: 1 | -1 | 0;
  readonly phases?: {
    readonly before: SessionRow['phase'];
    readonly after: SessionRow['phase'];
    readonly retention?: SessionRow['phase'];
  };
  readonly exclusions?: readonly {
    readonly table: 'golfers' | 'sessions' | 'swings';
    readonly id: string;
    readonly reason: string;
  }[];
  /** Confidence level of intervals. */
  readonly level?: number;
  readonly model?: { readonly degreesOfFreedom?: 'kenward-roger' | 'satterthwaite' };
}

export type CheckedPlan =
  | { readonly valid: true; readonly plan: Plan; readonly problems: readonly [] }
  | { readonly valid: false; readonly problems: readonly PlanProblem[] };

/** A plan that was read, with the SHA-256 of the bytes it was read from. */
export type LoadedPlan = CheckedPlan & { readonly sha256: string | null };

const validate = new Ajv({ allErrors: true, verbose: true }).compile(
  JSON.parse(readFileSync(new URL('../../data-schemas/plan.schema.json', import.meta.url), 'utf8')),
);

/**
 * Checks a value against the schema of plans and against what must hold between its parts.
 *
 * @example
 * checkPlan({ study: 'drill-trial', question: 'Did it help?', metric: { column: 'shaft_lean_impact_deg' } }).valid // true
 */
export function checkPlan(value: unknown): CheckedPlan {
  const problems: PlanProblem[] = [];
  if (!validate(value)) problems.push(...(validate.errors ?? []).map(schemaProblem));
  if (problems.length === 0) problems.push(...partsThatDisagree(value as Plan));
  return problems.length === 0
    ? { valid: true, plan: value as Plan, problems: [] }
    : { valid: false, problems };
}

/**
 * Reads and checks a plan file.
 *
 * @example const loaded = await loadPlan('plan.json'); // loaded.valid, loaded.plan, loaded.sha256
 */
export async function loadPlan(path: string): Promise<LoadedPlan> {
  const refuse = (found: string, expected: string, remedy: string, sha256: string | null): LoadedPlan => ({
    valid: false,
    problems: [{ where: '', found, expected, remedy }],
    sha256,
  });
  let bytes: Uint8Array;
  try {
    bytes = await readFile(path);
  } catch (error) {
    const found = codeOf(error) === 'ENOENT' ? `no file ${path}` : `${path} cannot be read`;
    return refuse(found, 'a plan file in JSON', 'Check the spelling of the path.', null);
  }
  const sha256 = sha256Hex(bytes);
  let value: unknown;
  try {
    value = JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(bytes));
  } catch (error) {
    const why = error instanceof SyntaxError ? `: ${error.message}` : '';
    return refuse(
      `text that is not JSON${why}`,
      'a plan file in JSON',
      'Correct the place named; commas between entries and quotes round texts are the usual causes.',
      sha256,
    );
  }
  return { ...checkPlan(value), sha256 };
}

function partsThatDisagree(plan: Plan): PlanProblem[] {
  const problems: PlanProblem[] = [];
  const { column } = plan.metric;
  if (!isMetricColumn(column)) {
    const columns = metricCatalogue.map((metric) => metric.column);
    const meant = nearest(column, columns);
    problems.push({
      where: '/metric/column',
      found: shown(column),
      expected: `a metric column: ${columns.join(', ')}`,
      remedy: meant === null ? 'Use one of these columns.' : `Write ${meant}, if that is what is meant.`,
    });
  }
  const { control, drill = [] } = plan.arms ?? {};
  if (control !== undefined && drill.includes(control))
    problems.push({
      where: '/arms/drill',
      found: shown(control),
      expected: 'the control in no other place',
      remedy: `Take ${control} out of the drill arms, or name another control.`,
    });
  if (plan.design === 'parallel' && plan.arms !== undefined && control === undefined)
    problems.push({
      where: '/arms/control',
      found: 'nothing',
      expected: 'the arm without the drill, which a parallel design compares with',
      remedy: 'Name the control arm, or choose the design before-after.',
    });
  const { before, after, retention } = plan.phases ?? {};
  const phases = [before, after, retention].filter((phase) => phase !== undefined);
  if (new Set(phases).size < phases.length)
    problems.push({
      where: '/phases',
      found: phases.join(', '),
      expected: 'three different phases',
      remedy: 'Name each phase once.',
    });
  return problems;
}
