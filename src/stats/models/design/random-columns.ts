import { orthogonalColumns } from '../../../numerics/index.ts';
import type { Model, ModelProblem, RandomEffect, RandomTerm } from '../contract.ts';
import { compareLevels } from './data-column.ts';
import { codedValues, type KeptData, productColumns, variableOf } from './fixed-columns.ts';

/** A grouping factor: which level each row belongs to. */
export interface Grouping {
  /** Column names joined by ` / `, outermost first. */
  readonly name: string;
  readonly levels: readonly string[];
  readonly at: Int32Array;
}

/** The columns of one random term, in the coordinates the fit is done in. */
export interface RandomColumns {
  readonly group: string;
  readonly effects: readonly string[];
  readonly kind: 'full' | 'diagonal';
  readonly where: string;
  /** rows x effects, row-major: the effects' columns times `toModel`. */
  readonly values: Float64Array;
  /** q x q upper triangle T, row-major: effects as the model names them = T times the fitted ones. */
  readonly toModel: Float64Array;
}

export function groupNameOf(term: RandomTerm<Record<string, unknown>>): string {
  return typeof term.group === 'string' ? term.group : term.group.join(' / ');
}

/** The grouping factors of a model, each once, in the order in which it names them. */
export function groupingsOf(model: Model, kept: KeptData): Grouping[] {
  const names = new Set<string>();
  return (model.random ?? []).flatMap((term) => {
    if (names.has(groupNameOf(term))) return [];
    names.add(groupNameOf(term));
    return [groupingOf(term, kept)];
  });
}

/** Levels in the order of their names, so that the order of the rows does not matter. */
export function groupingOf(term: RandomTerm<Record<string, unknown>>, kept: KeptData): Grouping {
  const names = typeof term.group === 'string' ? [term.group] : term.group;
  const coded = names.map((name) => kept.codes(name));
  const ranked = coded.map(({ texts }) => ranksOf(texts));
  // The rank of a combination of levels counts the combinations that come before it, there or not.
  let key: ArrayLike<number> = renumbered(coded[0]!.at, ranked[0]!.rank);
  let labels: readonly string[] = ranked[0]!.texts;
  for (let c = 1; c < coded.length; c++) {
    const { rank, texts } = ranked[c]!;
    const { at } = coded[c]!;
    const joint = Float64Array.from(at, (code, row) => key[row]! * texts.length + rank[code]!);
    const present = [...new Set(joint)].sort((a, b) => a - b);
    const place = new Map(present.map((value, i) => [value, i]));
    const outer = labels;
    labels = present.map(
      (value) => `${outer[Math.floor(value / texts.length)]} / ${texts[value % texts.length]}`,
    );
    key = Int32Array.from(joint, (value) => place.get(value)!);
  }
  return { name: groupNameOf(term), levels: labels, at: key as Int32Array };
}

/** Texts in the order of `compareLevels`, and the place of each of those given among them. */
function ranksOf(texts: readonly string[]): { texts: readonly string[]; rank: Int32Array } {
  // Numbers are read once each, not once for every comparison.
  const numbers = Float64Array.from(texts, Number);
  const compare = (a: number, b: number): number => {
    const difference = numbers[a]! - numbers[b]!;
    return difference < 0 || difference > 0 ? difference : compareLevels(texts[a]!, texts[b]!);
  };
  const order = texts.map((_, code) => code);
  if (order.some((code) => code > 0 && compare(code - 1, code) > 0)) order.sort(compare);
  const rank = new Int32Array(texts.length);
  for (let place = 0; place < order.length; place++) rank[order[place]!] = place;
  return { texts: order.map((code) => texts[code]!), rank };
}

function renumbered(at: Int32Array, rank: Int32Array): Int32Array {
  const out = new Int32Array(at.length);
  for (let i = 0; i < out.length; i++) out[i] = rank[at[i]!]!;
  return out;
}

/** The named columns of one random effect. */
export function effectColumns(
  effect: RandomEffect<Record<string, unknown>>,
  kept: KeptData,
): { label: string; values: Float64Array }[] {
  if (effect === 'intercept') return [{ label: 'intercept', values: new Float64Array(kept.rows).fill(1) }];
  if (typeof effect === 'string') return [...variableOf(effect, kept).columns];
  if ('product' in effect)
    return productColumns(
      effect.product.map((column) => variableOf(column, kept)),
      kept.rows,
    );
  return [
    {
      label: `${effect.column}=${effect.level}`,
      values: codedValues(
        kept.codes(effect.column).at,
        kept.codes(effect.column).texts.map((text) => (text === effect.level ? 1 : 0)),
      ),
    },
  ];
}

/** The columns of every random term, each row scaled by its `rootWeights`, in the coordinates of the fit. */
export function randomColumns(
  model: Model,
  kept: KeptData,
  rootWeights: Float64Array | null,
): RandomColumns[] | readonly ModelProblem[] {
  const n = kept.rows;
  return inCoordinates(model, n, n, (term) => {
    const columns = term.effects.flatMap((effect) => effectColumns(effect, kept));
    const stacked = new Float64Array(n * columns.length);
    columns.forEach(({ values }, j) => {
      if (rootWeights) for (let i = 0; i < n; i++) stacked[j * n + i] = values[i]! * rootWeights[i]!;
      else stacked.set(values, j * n);
    });
    return { effects: columns.map(({ label }) => label), stacked, resolution: null };
  });
}

/**
 * Random terms in the coordinates of the fit: a full covariance is fitted in coordinates in which the term's columns
 * are orthogonal over all rows and of unit size, a diagonal one with every column at unit size: neither changes the
 * model, and neither scale nor origin of a column can then upset the fit. `columnsOf` gives a term's columns, one
 * after the other, over entries (rows of data, or what stands in for them), and the length below which what is left
 * of each beside those before it is rounding error.
 */
export function inCoordinates(
  model: Model,
  n: number,
  rows: number,
  columnsOf: (term: RandomTerm<Record<string, unknown>>) => {
    readonly effects: readonly string[];
    readonly stacked: Float64Array;
    readonly resolution: readonly number[] | null;
  },
): RandomColumns[] | readonly ModelProblem[] {
  const problems: ModelProblem[] = [];
  const terms = (model.random ?? []).map((term, t): RandomColumns => {
    const where = `/random/${t}`;
    const { effects, stacked, resolution } = columnsOf(term);
    const q = effects.length;
    const kind = term.covariance ?? 'full';
    const toModel = new Float64Array(q * q);
    const values = new Float64Array(n * q);
    const root = Math.sqrt(rows);
    const fail = (column: number, why: string) =>
      problems.push({
        kind: 'collinear',
        where: `${where}/effects`,
        found: `the random effect ${effects[column]} ${why}`,
        expected: 'random effects whose columns differ',
        remedy:
          'Take that effect out, or use a diagonal covariance where each effect has a meaning of its own.',
      });
    if (kind === 'full' && q > 1) {
      const { q: orthogonal, r } = orthogonalColumns(stacked, n, q);
      const dependent = effects.flatMap((_, j) => (r[j * q + j]! > (resolution?.[j] ?? 0) ? [] : [j]));
      for (const column of dependent) fail(column, 'is a combination of the effects named before it');
      if (dependent.length === 0) {
        toModel.set(inverseOfUpper(r, q));
        for (let i = 0; i < q * q; i++) toModel[i] = toModel[i]! * root;
      }
      for (let j = 0; j < q; j++)
        for (let i = 0; i < n; i++) values[i * q + j] = orthogonal[j * n + i]! * root;
    } else {
      for (let j = 0; j < q; j++) {
        let sum = 0;
        let largest = 0;
        for (let i = 0; i < n; i++) largest = Math.max(largest, Math.abs(stacked[j * n + i]!));
        if (largest === 0) fail(j, 'is zero in every row');
        const unit = largest || 1;
        for (let i = 0; i < n; i++) sum += (stacked[j * n + i]! / unit) ** 2;
        const scale = unit * Math.sqrt(sum / rows) || 1;
        toModel[j * q + j] = 1 / scale;
        for (let i = 0; i < n; i++) values[i * q + j] = stacked[j * n + i]! / scale;
      }
    }
    return { group: groupNameOf(term), effects, kind, where, values, toModel };
  });
  return problems.length > 0 ? problems : terms;
}

/** R^-1 of an upper triangle R, q x q. */
export function inverseOfUpper(r: Float64Array, q: number): Float64Array {
  const out = new Float64Array(q * q);
  for (let j = 0; j < q; j++) {
    out[j * q + j] = 1 / r[j * q + j]!;
    for (let i = j - 1; i >= 0; i--) {
      let sum = 0;
      for (let k = i + 1; k <= j; k++) sum -= r[i * q + k]! * out[k * q + j]!;
      out[i * q + j] = sum / r[i * q + i]!;
    }
  }
  return out;
}
