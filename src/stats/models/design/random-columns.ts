import { orthogonalColumns } from '../../../numerics/index.ts';
import type { Model, ModelProblem, RandomEffect, RandomTerm } from '../contract.ts';
import { compareLevels } from './data-column.ts';
import { type KeptData, productColumns, variableOf } from './fixed-columns.ts';

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

/** Levels in the order of their names, so that the order of the rows does not matter. */
export function groupingOf(term: RandomTerm<Record<string, unknown>>, kept: KeptData): Grouping {
  const columns = (typeof term.group === 'string' ? [term.group] : term.group).map((name) =>
    kept.texts(name),
  );
  const label = (row: number) => columns.map((column) => column[row]!).join(' / ');
  const found = new Map<string, number>();
  const first: number[] = [];
  const raw = new Int32Array(kept.rows);
  for (let row = 0; row < kept.rows; row++) {
    // Joined by a character no name holds, so that (`a / b`, `c`) and (`a`, `b / c`) stay apart.
    const key =
      columns.length === 1 ? columns[0]![row]! : columns.map((column) => column[row]!).join('\u0000');
    let id = found.get(key);
    if (id === undefined) {
      id = first.length;
      found.set(key, id);
      first.push(row);
    }
    raw[row] = id;
  }
  const order = first
    .map((_, id) => id)
    .sort((a, b) => {
      for (const column of columns) {
        const compared = compareLevels(column[first[a]!]!, column[first[b]!]!);
        if (compared !== 0) return compared;
      }
      return 0;
    });
  const rank = new Int32Array(order.length);
  order.forEach((id, place) => {
    rank[id] = place;
  });
  return {
    name: groupNameOf(term),
    levels: order.map((id) => label(first[id]!)),
    at: raw.map((id) => rank[id]!),
  };
}

/** The named columns of one random effect. */
function effectColumns(
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
      values: Float64Array.from(kept.texts(effect.column), (text) => (text === effect.level ? 1 : 0)),
    },
  ];
}

/**
 * The columns of every random term. A full covariance is fitted in coordinates in which the term's columns are
 * orthogonal over all rows and of unit size, a diagonal one with every column at unit size: neither changes the
 * model, and neither scale nor origin of a column can then upset the fit. `rootWeights` scales the rows.
 */
export function randomColumns(
  model: Model,
  kept: KeptData,
  rootWeights: Float64Array | null,
): RandomColumns[] | readonly ModelProblem[] {
  const problems: ModelProblem[] = [];
  const terms = (model.random ?? []).map((term, t): RandomColumns => {
    const where = `/random/${t}`;
    const columns = term.effects.flatMap((effect) => effectColumns(effect, kept));
    const q = columns.length;
    const n = kept.rows;
    const stacked = new Float64Array(n * q);
    columns.forEach(({ values }, j) => {
      for (let i = 0; i < n; i++) stacked[j * n + i] = values[i]! * (rootWeights ? rootWeights[i]! : 1);
    });
    const kind = term.covariance ?? 'full';
    const toModel = new Float64Array(q * q);
    const values = new Float64Array(n * q);
    const effects = columns.map(({ label }) => label);
    const root = Math.sqrt(n);
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
      const { q: orthogonal, r, dependent } = orthogonalColumns(stacked, n, q);
      for (const column of dependent) fail(column, 'is a combination of the effects named before it');
      if (dependent.length === 0) {
        invertUpper(r, q, toModel);
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
        const scale = unit * Math.sqrt(sum / n) || 1;
        toModel[j * q + j] = 1 / scale;
        for (let i = 0; i < n; i++) values[i * q + j] = stacked[j * n + i]! / scale;
      }
    }
    return { group: groupNameOf(term), effects, kind, where, values, toModel };
  });
  return problems.length > 0 ? problems : terms;
}

/** out = R^-1 for an upper triangle R, q x q. */
function invertUpper(r: Float64Array, q: number, out: Float64Array): void {
  for (let j = 0; j < q; j++) {
    out[j * q + j] = 1 / r[j * q + j]!;
    for (let i = j - 1; i >= 0; i--) {
      let sum = 0;
      for (let k = i + 1; k <= j; k++) sum -= r[i * q + k]! * out[k * q + j]!;
      out[i * q + j] = sum / r[i * q + i]!;
    }
  }
}
