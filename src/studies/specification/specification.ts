import type { Verdict } from '../finding.ts';

/** One way of asking, and what it gave. */
export interface SpecificationRow {
  /** By choice, the option that was taken. */
  readonly chosen: Readonly<Record<string, string>>;
  /** Whether this is the question as it was asked. */
  readonly asAsked: boolean;
  readonly metric: string | null;
  /** On the scale of the curve; null where there is no estimate. */
  readonly value: number | null;
  readonly interval: readonly [number | null, number | null];
  /** In the unit of its own metric. */
  readonly raw: {
    readonly value: number | null;
    readonly interval: readonly [number | null, number | null];
    readonly unit: string;
  } | null;
  readonly verdict: Verdict | null;
  /** Why there is no estimate; null where there is one. */
  readonly why: string | null;
}

/** How far one choice alone moves the estimate, the others averaged over. */
export interface SpecificationInfluence {
  readonly choice: string;
  /** The largest mean minus the smallest, on the scale of the curve. */
  readonly spread: number;
  readonly means: readonly { readonly option: string; readonly mean: number; readonly count: number }[];
}

/** One question under every combination of stated choices, in order of the estimate. */
export interface SpecificationCurve {
  readonly scale: { readonly kind: 'unit' | 'smallest-change'; readonly unit: string };
  readonly choices: readonly {
    readonly key: string;
    readonly words: string;
    readonly options: readonly { readonly key: string; readonly words: string }[];
  }[];
  /** Those without an estimate come last. */
  readonly rows: readonly SpecificationRow[];
  /** The choice that moves the estimate most comes first. */
  readonly influences: readonly SpecificationInfluence[];
  readonly answered: number;
  /** In how many of the answered the verdict is that of the question as it was asked. */
  readonly sameVerdict: number;
  readonly verdict: Verdict;
  readonly words: string;
}
