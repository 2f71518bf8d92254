import { readFileSync } from 'node:fs';
import { Ajv, type ValidateFunction } from 'ajv';
import type { MetricColumn } from '../kinematics/index.ts';
import type { SessionRow } from './generated/rows.ts';
import { sha256Hex } from './hash.ts';
import { codeOf } from './new-files.ts';
import { isLockedPlan, openLockedPlan } from './plan-lock/open-locked-plan.ts';
import type { LockedPlan } from './plan-lock/plan-lock.ts';
import { partsThatDisagree } from './plan-parts.ts';
import { type PlanProblem, schemaProblem } from './plan-problem.ts';
import { readTypedJson } from './read/json-typed.ts';
import { readRegularFile } from './read-regular-file.ts';

/** A plan: what data-schemas/plan.schema.json describes. What is left out is the study's stated default. */
export interface Plan {
  readonly $schema?: string;
  readonly study: 'drill-trial' | 'noise' | 'one-golfer' | 'mechanism' | 'instructors' | 'waveform';
  readonly question: string;
  /** The one number that decides, and the version of its definition when the plan was written. */
  readonly metric: { readonly column: MetricColumn; readonly version?: string; readonly why?: string };
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
  /** One golfer, or a few, followed through phases over many sessions: how the design was drawn. */
  readonly series?: {
    readonly golfers?: readonly string[];
    /** Whether the sessions with which phases begin were drawn at random. */
    readonly startDrawn: boolean;
    /** The fewest sessions in a phase that the draw allowed. */
    readonly leastSessions?: number;
    /** For several golfers: the first and the last session, counted from 1, with which the drill could begin. */
    readonly startWindows?: readonly (readonly [first: number, last: number])[];
    /** Whether it was drawn which golfer got which window; else window k is that of golfer k. */
    readonly golfersDrawn?: boolean;
  };
  /** What is left out whoever it turns out to be. */
  readonly exclusionRules?: readonly ExclusionRule[];
  readonly stoppingRule?: {
    readonly words: string;
    readonly golfers?: number;
    /** Of each golfer, in each phase that is compared. */
    readonly sessionsPerPhase?: number;
    /** Full swings. */
    readonly swingsPerSession?: number;
    /** YYYY-MM-DD. */
    readonly lastDate?: string;
  };
  /** Choices that another analyst could have made otherwise. */
  readonly choices?: readonly {
    readonly of: 'definition' | 'instant' | 'exclusions' | 'covariates' | 'model' | 'other';
    readonly taken: string;
    readonly instead?: readonly string[];
    readonly why: string;
  }[];
  /** What only the people who run it know, by the keys of the schema. */
  readonly statements?: Readonly<Record<string, string>>;
  /** Of every random step. */
  readonly seed?: number;
  /** Confidence level of intervals. */
  readonly level?: number;
  readonly model?: {
    readonly degreesOfFreedom?: 'kenward-roger' | 'satterthwaite';
    readonly words?: string;
    /** What the answer is adjusted for: columns of golfers or sessions. */
    readonly covariates?: readonly PlannedCovariate[];
  };
}

export type PlannedCovariate =
  | 'handicap_index'
  | 'height_cm'
  | 'age_band'
  | 'instructor_id'
  | 'device'
  | 'surface';

/** Rows of a table by the value of one column: exactly one of `is`, `below`, `above` and `missing` is there. */
export interface ExclusionRule {
  readonly table: 'golfers' | 'sessions' | 'swings';
  readonly column: string;
  readonly is?: string | number | boolean;
  readonly below?: number;
  readonly above?: number;
  readonly missing?: true;
  readonly reason: string;
}

/** A plan that fits the schema and the catalogue, or everything that is wrong with it. */
export type CheckedPlan =
  | { readonly valid: true; readonly plan: Plan; readonly problems: readonly [] }
  | { readonly valid: false; readonly problems: readonly PlanProblem[] };

/** A plan that was read, with the SHA-256 of the bytes it was read from, and what its lock holds if it was locked. */
export type LoadedPlan = CheckedPlan & { readonly sha256: string | null; readonly locked?: LockedPlan };

let compiled: ValidateFunction | undefined;

function validator(): ValidateFunction {
  compiled ??= new Ajv({ allErrors: true, verbose: true, allowUnionTypes: true }).compile(
    JSON.parse(readFileSync(new URL('../../data-schemas/plan.schema.json', import.meta.url), 'utf8')),
  );
  return compiled;
}

/**
 * Checks a value against the schema of plans and against what must hold between its parts.
 *
 * @example
 * checkPlan({ study: 'drill-trial', question: 'Did it help?', metric: { column: 'shaft_lean_impact_deg' } }).valid // true
 */
export function checkPlan(value: unknown): CheckedPlan {
  const problems: PlanProblem[] = [];
  const validate = validator();
  if (!validate(value)) problems.push(...(validate.errors ?? []).map(schemaProblem));
  if (problems.length === 0) problems.push(...partsThatDisagree(value as Plan));
  return problems.length === 0
    ? { valid: true, plan: value as Plan, problems: [] }
    : { valid: false, problems };
}

/**
 * Reads and checks a plan file, locked or not. A locked plan that was altered is not valid; its problems name what was.
 *
 * @example
 * const loaded = await loadPlan('plan.json');
 * loaded.valid && loaded.plan.study // 'drill-trial'
 */
export async function loadPlan(path: string): Promise<LoadedPlan> {
  const refuse = (found: string, expected: string, remedy: string, sha256: string | null): LoadedPlan => ({
    valid: false,
    problems: [{ where: '', found, expected, remedy }],
    sha256,
  });
  let bytes: Uint8Array;
  try {
    bytes = await readRegularFile(path);
  } catch (error) {
    const found = codeOf(error) === 'ENOENT' ? `no file ${path}` : `${path} cannot be read`;
    return refuse(found, 'a plan file in JSON', 'Check the spelling of the path.', null);
  }
  const sha256 = sha256Hex(bytes);
  const read = readTypedJson(bytes);
  if (!read.ok)
    return refuse(
      read.found,
      'a plan file in JSON',
      'Correct the place named or just before it; commas between entries and quotes round texts are the usual causes.',
      sha256,
    );
  const { value } = read;
  if (!isLockedPlan(value)) return { ...checkPlan(value), sha256 };
  const opened = openLockedPlan(value);
  if (!opened.valid) return { ...opened, sha256 };
  const { locked } = opened;
  return { valid: true, plan: locked.plan, problems: [], sha256, locked };
}
