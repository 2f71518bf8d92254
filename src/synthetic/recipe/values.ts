/** Where a number comes from. `invented` and `design assumption` are never to be cited as measured. */
export interface Source {
  readonly kind: 'published' | 'check value' | 'formula' | 'design assumption' | 'invented';
  readonly confidence: 'read in source' | 'from memory' | 'computed here' | 'none';
  readonly quantity: string;
  readonly value?: unknown;
  readonly sd?: unknown;
  readonly unit?: string;
  readonly population?: string;
  readonly source?: string;
  readonly note?: string;
}

/** For each number of the block the key of its source; `*` stands for all that are not named. */
export type Cited = { readonly source: Readonly<Record<string, string>> };

/** A value at either end of the skill scale; in between it is interpolated by handicap. */
export interface BySkill {
  readonly skilled: number;
  readonly lessSkilled: number;
}

export interface MeanSd {
  readonly mean: number;
  readonly sd: number;
}
