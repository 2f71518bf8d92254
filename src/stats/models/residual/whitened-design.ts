import type { Design } from '../design/design.ts';
import { assembleSystem } from '../linear/assemble-system.ts';
import type { Whitening } from './residual-structure.ts';

/**
 * The design with its rows whitened: an ordinary mixed model whose residuals are independent and of equal variance,
 * with the same fixed and random effects in the same coordinates.
 */
export function whitenedDesign(design: Design, whitening: Whitening): Design {
  const { rows, columns, terms, groupings } = design;
  const p = design.fixedNames.length;
  const fixed = new Float64Array(rows * p);
  const outcome = new Float64Array(rows);
  for (let j = 0; j < p; j++) whitenColumn(columns.fixed, j * rows, 1, whitening, fixed);
  whitenColumn(columns.outcome, 0, 1, whitening, outcome);
  const whiteTerms = terms.map((term) => {
    const q = term.effects.length;
    const values = new Float64Array(rows * q);
    for (let k = 0; k < q; k++) whitenColumn(term.values, k, q, whitening, values);
    return { ...term, values };
  });
  const assembled = assembleSystem(rows, fixed, p, groupings, whiteTerms);
  assembled.fillOutcome(outcome);
  return {
    ...design,
    terms: whiteTerms,
    assembled,
    columns: { fixed, outcome },
    logWeights: design.logWeights - whitening.logDeterminant,
  };
}

function whitenColumn(
  from: Float64Array,
  first: number,
  stride: number,
  { own, before, previous }: Whitening,
  to: Float64Array,
): void {
  for (let i = 0; i < own.length; i++) {
    const at = first + i * stride;
    const j = previous ? previous[i]! : -1;
    to[at] = own[i]! * from[at]! + (j < 0 ? 0 : before[i]! * from[first + j * stride]!);
  }
}
