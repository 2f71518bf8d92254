import type { Dataset } from '../../dataset/index.ts';

/** What an answer may be adjusted for: a column of the golfers or of the sessions. */
export type Covariate = 'handicap_index' | 'height_cm' | 'age_band' | 'instructor_id' | 'device' | 'surface';

export const COVARIATE_WORDS: Readonly<Record<Covariate, string>> = {
  handicap_index: 'handicap',
  height_cm: 'height',
  age_band: 'age band',
  instructor_id: 'instructor',
  device: 'device',
  surface: 'surface',
};

const OF_GOLFER: ReadonlySet<Covariate> = new Set(['handicap_index', 'height_cm', 'age_band']);

/** The value of a covariate at each session; null where it is missing. */
export function covariateBySession(
  dataset: Dataset,
  covariate: Covariate,
): ReadonlyMap<string, number | string | null> {
  const { golfers, sessions } = dataset.tables;
  const ids = sessions.column('session_id').map((id) => id ?? '');
  if (!OF_GOLFER.has(covariate)) {
    const values = sessions.text(covariate);
    return new Map(ids.map((id, i) => [id, values[i] ?? null]));
  }
  const values =
    covariate === 'age_band'
      ? golfers.text(covariate)
      : Array.from(golfers.numbers(covariate), (value) => (Number.isNaN(value) ? null : value));
  const own = new Map(golfers.column('golfer_id').map((golfer, i) => [golfer ?? '', values[i] ?? null]));
  const of = sessions.column('golfer_id');
  return new Map(ids.map((id, i) => [id, own.get(of[i] ?? '') ?? null]));
}
