import { COVARIATE_WORDS, type Covariate } from '../shared/covariates.ts';
import type { Pupil } from './pupils.ts';

/** The columns that an instructor's pupils are made comparable by. */
export interface Predictors {
  /** One row for each pupil; no column where nothing is adjusted for. */
  readonly rows: readonly (readonly number[])[];
  /** What they are, in words. */
  readonly words: readonly string[];
}

/**
 * The start, and each covariate: a number as it is, a text as yes/no of each level but the first. Every column is
 * centred and scaled; one that does not vary, or that repeats the others exactly, is left out.
 */
export function predictorsOf(
  pupils: readonly Pupil[],
  start: boolean,
  covariates: readonly Covariate[],
): Predictors {
  const columns: number[][] = [];
  const words: string[] = [];
  const add = (candidates: readonly (readonly number[])[], label: string) => {
    const before = columns.length;
    for (const candidate of candidates) {
      const own = standardised(candidate);
      if (own !== null && independent(own, columns)) columns.push(own);
    }
    if (columns.length > before) words.push(label);
  };
  if (start) add([pupils.map(({ before }) => before)], 'where each pupil started');
  for (const name of covariates) {
    const values = pupils.map((pupil) => pupil.covariates[name] ?? null);
    if (values.every((value) => typeof value === 'number')) add([values as number[]], COVARIATE_WORDS[name]);
    else {
      const levels = [...new Set(values.map(String))].toSorted();
      add(
        levels.slice(1).map((level) => values.map((value) => (String(value) === level ? 1 : 0))),
        COVARIATE_WORDS[name],
      );
    }
  }
  return { rows: pupils.map((_, i) => columns.map((column) => column[i]!)), words };
}

function standardised(values: readonly number[]): number[] | null {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const sd = Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length);
  return sd > 1e-12 * Math.max(1, Math.abs(mean)) ? values.map((value) => (value - mean) / sd) : null;
}

/** Whether more than rounding is left of a column once the others are taken out (Gram and Schmidt, twice over). */
function independent(column: readonly number[], others: readonly (readonly number[])[]): boolean {
  const basis: number[][] = [];
  const left = (vector: readonly number[]): number[] => {
    let rest = [...vector];
    for (let pass = 0; pass < 2; pass++)
      for (const direction of basis) {
        const along = rest.reduce((sum, value, i) => sum + value * direction[i]!, 0);
        rest = rest.map((value, i) => value - along * direction[i]!);
      }
    return rest;
  };
  for (const other of others) {
    const rest = left(other);
    const length = Math.hypot(...rest);
    if (length > 0) basis.push(rest.map((value) => value / length));
  }
  return Math.hypot(...left(column)) > 1e-7 * Math.hypot(...column);
}
