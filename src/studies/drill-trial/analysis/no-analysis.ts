import type { SwingGroup } from '../input/trial-data.ts';
import type { SmallSample } from './cell-model.ts';
import type { MainAnalysis } from './main-analysis.ts';

/** The analysis that could not be made, with the reason in words. */
export function nothing(why: string): MainAnalysis {
  return {
    form: 'none',
    words: `No model was fitted. ${why}`,
    objects: [],
    effects: new Map(),
    used: new Set(),
    unusedWhy: 'no comparison could be made',
    notes: [why],
    boundary: [],
    anyDifference: null,
    daysApart: false,
    golferChange: () => null,
    fit: null,
  };
}

/** The method as it is named in a sentence. */
export function smallSampleWords(method: SmallSample): string {
  return method === 'kenward-roger' ? 'Kenward-Roger' : 'Satterthwaite';
}

/** Whether all swings have one value. */
export function neverVaries(rows: readonly SwingGroup[]): boolean {
  return rows.length > 0 && rows.every(({ least, most }) => least === rows[0]!.least && most === least);
}

/** That all swings have one value, in words. */
export function sameValue(rows: readonly SwingGroup[]): string {
  return `Every swing has the same value, ${rows[0]!.least}; where nothing varies, nothing can be estimated.`;
}
