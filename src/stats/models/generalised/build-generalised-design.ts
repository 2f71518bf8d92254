import { orthogonalColumns } from '../../../numerics/index.ts';
import type { DataColumns, Model, ModelProblem } from '../contract.ts';
import { collinearProblems, crowdedProblems } from '../design/design-problems.ts';
import { fixedColumns, type KeptData } from '../design/fixed-columns.ts';
import { readModelData } from '../design/model-data.ts';
import { problemsOfRequest } from '../design/not-available.ts';
import { type Grouping, groupingOf, groupNameOf, randomColumns } from '../design/random-columns.ts';
import type { GeneralisedDesign } from './generalised-design.ts';
import { readOutcome } from './outcome/read-outcome.ts';
import { randomLayout } from './random/random-layout.ts';

/** Builds the design, or says, all at once, what is wrong. */
export function buildGeneralisedDesign(
  model: Model,
  data: DataColumns,
): { readonly design: GeneralisedDesign; readonly kept: KeptData } | readonly ModelProblem[] {
  const refused = problemsOfRequest(model);
  if (refused.length > 0) return refused;
  const read = readModelData(model, data);
  if (!('kept' in read)) return read;
  const { kept } = read;
  const n = kept.rows;
  const problems: ModelProblem[] = [];
  const outcome = readOutcome(model, kept, read.rows);
  if (!('likelihood' in outcome)) problems.push(...outcome);

  const fixed = fixedColumns(model, kept);
  if (!('names' in fixed)) return [...problems, ...fixed];
  const p = fixed.names.length;
  const centred = model.distribution === 'ordinal';
  const { decomposition, means } = decompose(fixed.values, n, p, centred);
  problems.push(...collinearProblems(decomposition, fixed.names, fixed.effects, fixed.values, n));
  if (problems.length === 0 && n <= p)
    problems.push({
      kind: 'too-many-effects',
      where: '/fixed',
      found: `${p} fixed effects for ${n} usable rows`,
      expected: 'more rows than effects',
      remedy: 'Take terms out or add data.',
    });

  const groupings: Grouping[] = [];
  (model.random ?? []).forEach((term, t) => {
    if (groupings.some(({ name }) => name === groupNameOf(term))) return;
    const grouping = groupingOf(term, kept);
    groupings.push(grouping);
    if (grouping.levels.length < 2)
      problems.push({
        kind: 'one-level',
        where: `/random/${t}/group`,
        found: `only ${grouping.levels[0]} in ${grouping.name}`,
        expected: 'at least two levels, better six or more',
        remedy: 'Take the random term out: how levels differ cannot be learnt from one.',
      });
  });
  const terms = randomColumns(model, kept, null);
  const built = terms.filter((term) => 'toModel' in term);
  if (built.length < terms.length)
    return [...problems, ...terms.filter((term) => 'kind' in term && 'remedy' in term)];
  // Counts, and successes among several trials, spread by themselves: an effect for each row is then well defined.
  const needsRepeats =
    'likelihood' in outcome &&
    model.distribution !== 'count' &&
    !outcome.trials?.some((trials) => trials > 1);
  if (needsRepeats) problems.push(...crowdedProblems(built, groupings, n));
  if (problems.length > 0 || !('likelihood' in outcome)) return problems;

  const layout = built.length > 0 ? randomLayout(n, groupings, built) : null;
  if (layout && 'remedy' in layout) return [layout];
  const root = Math.sqrt(n);
  const design: GeneralisedDesign = {
    model,
    rows: n,
    leftOut: read.leftOut,
    notes: [...read.notes, ...outcome.notes],
    fixedNames: fixed.names,
    fixedEffects: fixed.effects,
    groupings,
    terms: built,
    likelihood: outcome.likelihood,
    observed: outcome.observed,
    trials: outcome.trials,
    thresholdNames: outcome.thresholdNames,
    named: fixed.values,
    x: decomposition.q.map((value) => value * root),
    upper: decomposition.r.map((value) => value / root),
    means,
    offset: model.offset === undefined ? null : kept.numbers(model.offset),
    layout,
  };
  return { design, kept };
}

/** Orthogonal columns; beside thresholds they are first centred, since the thresholds take the constant's place. */
function decompose(values: Float64Array, n: number, p: number, centred: boolean) {
  const means = new Float64Array(p);
  if (!centred) return { decomposition: orthogonalColumns(values, n, p), means };
  const moved = Float64Array.from(values);
  for (let k = 0; k < p; k++) {
    let sum = 0;
    for (let i = 0; i < n; i++) sum += values[k * n + i]!;
    means[k] = sum / n;
    let largest = 0;
    let left = 0;
    for (let i = 0; i < n; i++) {
      moved[k * n + i] = values[k * n + i]! - means[k]!;
      largest = Math.max(largest, Math.abs(values[k * n + i]!));
      left = Math.max(left, Math.abs(moved[k * n + i]!));
    }
    // A constant leaves rounding only; as zero it is told apart from a column that varies.
    if (left <= 1e-12 * largest) moved.fill(0, k * n, (k + 1) * n);
  }
  return { decomposition: orthogonalColumns(moved, n, p), means };
}
