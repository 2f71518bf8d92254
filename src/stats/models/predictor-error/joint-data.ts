import { orthogonalColumns } from '../../../numerics/index.ts';
import type { ModelProblem } from '../contract.ts';
import type { Design } from '../design/design.ts';
import { fixedColumns } from '../design/fixed-columns.ts';
import type { RandomColumns } from '../design/random-columns.ts';
import { errorProneColumn } from './predictor-error-problems.ts';

/**
 * A model with one error-prone predictor, its rows sorted by group, outcome and predictor in units of their own. The
 * other fixed columns are brought to orthogonal columns of unit size.
 */
export interface JointData {
  readonly rows: number;
  /** Rows of group g are first[g] ... first[g + 1] - 1. */
  readonly first: Int32Array;
  /** Whether rows share groups at all; if not, each row is a group of its own. */
  readonly grouped: boolean;
  /** Root of the mean number of rows in a group. */
  readonly groupRoot: number;
  readonly outcome: Float64Array;
  readonly predictor: Float64Array;
  /** Squared measurement SDs, in the predictor's unit. */
  readonly errorVariance: Float64Array;
  /** 1 / weight of each row. */
  readonly relativeVariance: Float64Array;
  readonly outcomeScale: number;
  readonly predictorScale: number;
  /** rows x others, row-major. */
  readonly others: Float64Array;
  readonly otherCount: number;
  /** others as named = others x upper (upper triangle). */
  readonly upper: Float64Array;
  /** Index among the model's fixed effects of each other column, and of each term of the error-prone predictor. */
  readonly otherIndex: readonly number[];
  readonly terms: readonly ErrorProneTerm[];
  /** rows x random effects, row-major. */
  readonly random: Float64Array;
  readonly randomTerms: readonly RandomColumns[];
  readonly randomCount: number;
}

/** A term's slope on the deviation from the group's mean and on that mean: (1, 1), (1, 0) or (0, 1). */
export interface ErrorProneTerm {
  readonly index: number;
  readonly onDeviation: number;
  readonly onMean: number;
}

/** Sorts the data of a design for the joint likelihood, in the units they have, or says what stands in the way. */
export function jointData(design: Design): JointData | readonly ModelProblem[] {
  const { model, kept, rows, keptRows } = design;
  const column = errorProneColumn(model)!;
  const stated = model.errorSd![column]!;
  const errorSd = typeof stated === 'string' ? kept.numbers(stated) : new Float64Array(rows).fill(stated);
  const negative = errorSd.findIndex((sd) => sd < 0);
  if (negative >= 0)
    return [
      {
        kind: 'not-a-number',
        where: `/errorSd/${column}`,
        found: `the measurement SD ${errorSd[negative]} in data row ${keptRows[negative]! + 1}`,
        expected: 'standard deviations, zero or above',
        remedy: 'Correct the entry, or leave it empty to leave the row out.',
      },
    ];
  const raw = fixedColumns(model, kept);
  if (!('names' in raw)) return raw;
  const terms: ErrorProneTerm[] = [];
  const groupNames = new Set<string>();
  const otherIndex: number[] = [];
  model.fixed.forEach((term, t) => {
    const { columns } = raw.effects[t]!;
    if (term === 'intercept' || !('column' in term) || term.column !== column) {
      otherIndex.push(...columns.map(({ index }) => index));
      return;
    }
    const within = 'within' in term;
    const between = 'between' in term;
    if (within) groupNames.add(term.within);
    if (between) groupNames.add(term.between);
    terms.push({ index: columns[0]!.index, onDeviation: between ? 0 : 1, onMean: within ? 0 : 1 });
  });
  const partitions = [...groupNames].map((name) => ({ name, labels: kept.texts(name) }));
  const grouping = design.groupings[0];
  if (grouping)
    partitions.push({ name: grouping.name, labels: Array.from(grouping.at, (l) => grouping.levels[l]!) });
  const whole = partitions.at(-1) ?? null;
  const other = partitions.find(({ labels }) => !samePartition(labels, whole!.labels));
  if (whole && other)
    return [
      {
        kind: 'not-available',
        where: `/errorSd/${column}`,
        found: `${column} split by ${other.name} beside groups ${whole.name}`,
        expected: 'one grouping: that of the random effects is also that of within and between',
        remedy: `Name ${whole.name} in within and between too.`,
      },
    ];

  const labels = whole ? whole.labels : Array.from({ length: rows }, (_, i) => String(i));
  const groups = whole ? [...new Set(grouping ? grouping.levels : labels)] : labels;
  const place = new Map(groups.map((label, g) => [label, g]));
  const at = Int32Array.from(labels, (label) => place.get(label)!);
  const order = Int32Array.from({ length: rows }, (_, i) => i).sort((a, b) => at[a]! - at[b]! || a - b);
  const first = new Int32Array(groups.length + 1);
  for (const g of at) first[g + 1] = first[g + 1]! + 1;
  for (let g = 0; g < groups.length; g++) first[g + 1] = first[g + 1]! + first[g]!;

  const p = otherIndex.length;
  const stacked = new Float64Array(rows * p);
  otherIndex.forEach((index, j) => {
    stacked.set(raw.values.subarray(index * rows, (index + 1) * rows), j * rows);
  });
  const { q, r } = orthogonalColumns(stacked, rows, p);
  const root = Math.sqrt(rows);
  const others = new Float64Array(rows * p);
  order.forEach((from, i) => {
    for (let j = 0; j < p; j++) others[i * p + j] = q[j * rows + from]! * root;
  });
  const pick = (values: Float64Array) => Float64Array.from(order, (from) => values[from]!);
  const offset = model.offset === undefined ? null : kept.numbers(model.offset);
  const outcome = kept.numbers(model.outcome).map((y, i) => y - (offset ? offset[i]! : 0));
  const weights = model.weights === undefined ? null : kept.numbers(model.weights);
  const randomCount = design.terms.reduce((sum, term) => sum + term.effects.length, 0);
  const random = new Float64Array(rows * randomCount);
  order.forEach((from, i) => {
    let k = i * randomCount;
    for (const { effects, values } of design.terms)
      for (let a = 0; a < effects.length; a++)
        // A design's random columns carry the root of the weight.
        random[k++] = values[from * effects.length + a]! / (weights ? Math.sqrt(weights[from]!) : 1);
  });
  return {
    rows,
    first,
    grouped: whole !== null,
    groupRoot: Math.sqrt(rows / groups.length),
    outcome: pick(outcome),
    predictor: pick(kept.numbers(column)),
    errorVariance: pick(errorSd).map((sd) => sd * sd),
    relativeVariance: Float64Array.from(order, (from) => (weights ? 1 / weights[from]! : 1)),
    outcomeScale: 1,
    predictorScale: 1,
    others,
    otherCount: p,
    upper: r.map((value) => value / root),
    otherIndex,
    terms,
    random,
    randomTerms: design.terms,
    randomCount,
  };
}

/** The same data with the outcome and the predictor divided by a scale each. */
export function inUnits(data: JointData, outcomeScale: number, predictorScale: number): JointData {
  return {
    ...data,
    outcome: data.outcome.map((value) => value / outcomeScale),
    predictor: data.predictor.map((value) => value / predictorScale),
    errorVariance: data.errorVariance.map((value) => value / predictorScale ** 2),
    outcomeScale: data.outcomeScale * outcomeScale,
    predictorScale: data.predictorScale * predictorScale,
  };
}

function samePartition(a: readonly string[], b: readonly string[]): boolean {
  const forth = new Map<string, string>();
  const back = new Map<string, string>();
  return a.every((label, i) => {
    const other = b[i]!;
    if (!forth.has(label)) forth.set(label, other);
    if (!back.has(other)) back.set(other, label);
    return forth.get(label) === other && back.get(other) === label;
  });
}
