import type { Dataset } from '../../dataset.ts';

/** From the narrowest: who agrees to one agrees to those before it. */
export const SCOPES = ['coaching', 'study', 'share'] as const;
/** What a golfer may consent to. */
export type Scope = (typeof SCOPES)[number];

/** Why a golfer is in no export of a scope. */
export type ConsentGap = 'consent' | 'unknown consent' | 'minor' | 'age unknown';

/** Below this age it takes a guardian. Where the law of the place says otherwise, it goes before this. */
const ADULT_YEARS = 18;

/** What one golfer consented to, as far as it counts. */
export interface Consent {
  readonly golfer: string;
  /** The place of the golfer's consent in {@link SCOPES}, -1 for none; or why there is none that counts. */
  readonly level: number;
  readonly gap: ConsentGap | null;
}

/**
 * What each golfer's consent comes to. A minor counts only where a guardian gave the consent (consent_by); so does one
 * whose age is not known, who may be a minor. A band that begins below eighteen is that of a minor.
 *
 * @example
 * // The first golfer of the demo, 60 to 69 years old, agrees to studies: the second of the scopes, counted from 0
 * consents(dataset)[0] // { golfer: 'G01', level: 1, gap: null }
 */
export function consents({ tables }: Dataset): readonly Consent[] {
  const { golfers } = tables;
  const [scope, age, by] = (['consent_scope', 'age_band', 'consent_by'] as const).map((name) =>
    golfers.text(name),
  );
  return golfers.column('golfer_id').map((golfer, row): Consent => {
    const said = scope![row]?.trim().toLowerCase() ?? '';
    const level = SCOPES.indexOf(said as Scope);
    const none = (gap: ConsentGap): Consent => ({ golfer: golfer ?? '', level: -1, gap });
    if (level < 0) return none(said === '' || said === 'none' ? 'consent' : 'unknown consent');
    const youngest = youngestOf(age![row] ?? null);
    if (by![row] !== 'guardian') {
      if (youngest === null) return none('age unknown');
      if (youngest < ADULT_YEARS) return none('minor');
    }
    return { golfer: golfer ?? '', level, gap: null };
  });
}

/**
 * Minors for whom no guardian consented, whatever they said themselves: no page is made to be handed to them. Somebody whose
 * age is not known is not among them.
 *
 * @example minorsWithoutGuardian(dataset).size // 0: nobody in the demo is a minor
 */
export function minorsWithoutGuardian({ tables }: Dataset): ReadonlySet<string> {
  const [age, by] = [tables.golfers.text('age_band'), tables.golfers.text('consent_by')];
  return new Set(
    tables.golfers.column('golfer_id').flatMap((golfer, row) => {
      const youngest = youngestOf(age[row] ?? null);
      return golfer !== null && youngest !== null && youngest < ADULT_YEARS && by[row] !== 'guardian'
        ? [golfer]
        : [];
    }),
  );
}

/**
 * The youngest age in a band as people write it; null where it does not say.
 *
 * @example youngestOf('40-49') // 40
 * @example youngestOf('under 18') // 0
 * @example youngestOf('60+') // 60
 */
export function youngestOf(band: string | null): number | null {
  const numbers = (band ?? '').match(/\d+/g)?.map(Number) ?? [];
  if (numbers.length === 0 || numbers.some((years) => years > 120)) return null;
  if (/^\s*(under|below|up to|less than|u(?=\s*-?\s*\d)|<|≤|-)/i.test(band!)) return 0;
  if (/\b(and|or) (under|below|younger|less)\b/i.test(band!)) return 0;
  return Math.min(...numbers);
}
