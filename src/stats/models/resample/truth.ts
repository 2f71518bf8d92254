import type { Design } from '../design/design.ts';
import { inverseOfUpper } from '../design/random-columns.ts';
import { semidefiniteFactor } from '../linear/boundary.ts';
import { freePositions } from '../linear/covariance-shape.ts';
import { congruent } from '../linear/random-estimates.ts';

/** What outcomes are drawn from: the numbers of a model, in the outcome's unit. */
export interface Truth {
  /** By term name; a term left out is zero. */
  readonly fixed: Readonly<Record<string, number>>;
  /** One entry for each random term of the model, in its order. */
  readonly random: readonly {
    readonly sd: readonly number[];
    /** Effects x effects; none where left out. */
    readonly correlation?: readonly (readonly number[])[];
  }[];
  readonly residualSd: number;
}

/** A truth in the coordinates of the fit, in units of its own residual SD. */
export interface InnerTruth {
  readonly fixed: Float64Array;
  readonly theta: Float64Array;
  readonly residualSd: number;
}

/** Throws when the truth does not fit the model or is not possible. */
export function innerTruth(design: Design, truth: Truth): InnerTruth {
  const fail = (what: string) => {
    throw new Error(`truth: ${what}`);
  };
  const { residualSd } = truth;
  if (!(residualSd > 0)) fail(`the residual SD must be above zero; found ${residualSd}`);
  if (truth.random.length !== design.terms.length)
    fail(`${design.terms.length} random terms are in the model; found ${truth.random.length}`);
  const fixed = new Float64Array(design.fixedNames.length);
  for (const [term, value] of Object.entries(truth.fixed)) {
    const at = design.fixedNames.indexOf(term);
    if (at < 0) fail(`no fixed term ${term}; the terms are ${design.fixedNames.join(', ')}`);
    fixed[at] = value;
  }
  const { shape, shapeTerm } = design.assembled;
  const theta = new Float64Array(shape.starts.at(-1)!);
  design.terms.forEach((term, t) => {
    const q = term.effects.length;
    const { sd, correlation } = truth.random[t]!;
    if (sd.length !== q) fail(`${term.group} has ${q} effects; found ${sd.length} SDs`);
    const named = new Float64Array(q * q);
    for (let a = 0; a < q; a++)
      for (let b = 0; b < q; b++) {
        const r = a === b ? 1 : term.kind === 'full' ? (correlation?.[a]?.[b] ?? 0) : 0;
        named[a * q + b] = (r * sd[a]! * sd[b]!) / residualSd ** 2;
      }
    const inner = congruent(inverseOfUpper(term.toModel, q), named, q);
    const { factor } = semidefiniteFactor(inner, q, q);
    let miss = 0;
    let size = 0;
    const made = congruent(factor, identity(q), q);
    for (let i = 0; i < q * q; i++) {
      miss = Math.max(miss, Math.abs(made[i]! - inner[i]!));
      size = Math.max(size, Math.abs(inner[i]!));
    }
    if (!(miss <= 1e-6 * size)) fail(`the correlations across ${term.group} are not possible together`);
    freePositions(shape.terms[shapeTerm[t]!]!).forEach(([row, column], e) => {
      theta[shape.starts[shapeTerm[t]!]! + e] = factor[row * q + column]!;
    });
  });
  return { fixed, theta, residualSd };
}

function identity(q: number): Float64Array {
  const out = new Float64Array(q * q);
  for (let a = 0; a < q; a++) out[a * q + a] = 1;
  return out;
}
