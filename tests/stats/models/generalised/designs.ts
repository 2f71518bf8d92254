import { createStream, type Stream } from '../../../../src/numerics/index.ts';
import type { Model } from '../../../../src/stats/index.ts';

export type Kind = 'binary' | 'trials' | 'count' | 'ordinal';
export type Structure =
  | 'scalar'
  | 'slope'
  | 'diagonal'
  | 'nested'
  | 'crossed'
  | 'crossed slopes'
  | 'crossed nested';

export interface SmallDesign {
  readonly name: string;
  readonly data: Readonly<Record<string, number[] | string[]>>;
  readonly model: Model;
}

export const KINDS: readonly Kind[] = ['binary', 'trials', 'count', 'ordinal'];
export const STRUCTURES: readonly Structure[] = [
  'scalar',
  'slope',
  'diagonal',
  'nested',
  'crossed',
  'crossed slopes',
  'crossed nested',
];

const RANDOM: Readonly<Record<Structure, NonNullable<Model['random']>>> = {
  scalar: [{ group: 'g', effects: ['intercept'] }],
  slope: [{ group: 'g', effects: ['intercept', 'x'] }],
  diagonal: [{ group: 'g', effects: ['intercept', 'x'], covariance: 'diagonal' }],
  nested: [
    { group: 'g', effects: ['intercept'] },
    { group: ['g', 's'], effects: ['intercept'] },
  ],
  crossed: [
    { group: 'g', effects: ['intercept'] },
    { group: 'h', effects: ['intercept'] },
  ],
  'crossed slopes': [
    { group: 'g', effects: ['intercept', 'x'] },
    { group: 'h', effects: ['x'] },
  ],
  'crossed nested': [
    { group: ['g', 's'], effects: ['intercept'] },
    { group: 'g', effects: ['x'] },
    { group: 'h', effects: ['intercept'] },
  ],
};

/** A small unbalanced design of a kind and structure, with an outcome drawn from the model. */
export function smallDesign(kind: Kind, structure: Structure, seed: number): SmallDesign {
  const stream = createStream(seed);
  const g: string[] = [];
  const s: string[] = [];
  const h: string[] = [];
  const x: number[] = [];
  const arm: string[] = [];
  const y: number[] = [];
  const n: number[] = [];
  const levels = 6;
  const spread = {
    g: normals(stream, levels),
    s: normals(stream, 3 * levels),
    h: normals(stream, 4),
    x: normals(stream, levels),
  };
  for (let a = 0; a < levels; a++) {
    const rows = 6 + Math.floor(6 * stream.uniform());
    for (let r = 0; r < rows; r++) {
      const b = Math.floor(3 * stream.uniform());
      const c = Math.floor(4 * stream.uniform());
      const value = stream.normal();
      const eta =
        0.3 +
        0.5 * value +
        (a % 2) * 0.4 +
        0.7 * spread.g[a]! +
        0.5 * spread.s[3 * a + b]! +
        0.6 * spread.h[c]! +
        0.4 * spread.x[a]! * value;
      const trials = 1 + Math.floor(8 * stream.uniform());
      g.push(`g${a}`);
      s.push(`s${b}`);
      h.push(`h${c}`);
      x.push(value);
      arm.push(a % 2 === 0 ? 'control' : 'drill');
      n.push(trials);
      y.push(outcome(kind, eta, trials, stream));
    }
  }
  return {
    name: `${kind}, ${structure}, ${seed}`,
    data: { g, s, h, x, arm, y, n },
    model: {
      outcome: 'y',
      distribution: kind === 'trials' ? 'binary' : kind,
      ...(kind === 'trials' ? { trials: 'n' } : {}),
      fixed: [
        ...(kind === 'ordinal' ? [] : (['intercept'] as const)),
        { column: 'x' },
        { column: 'arm', levels: ['control', 'drill'] },
      ],
      random: RANDOM[structure],
    },
  };
}

const normals = (stream: Stream, count: number): number[] =>
  Array.from({ length: count }, () => stream.normal());

/** A draw of one outcome at the predictor eta. */
export function outcome(kind: Kind, eta: number, trials: number, stream: Stream): number {
  const p = 1 / (1 + Math.exp(-eta));
  if (kind === 'binary') return stream.uniform() < p ? 1 : 0;
  if (kind === 'trials')
    return Array.from({ length: trials }, () => stream.uniform()).filter((u) => u < p).length;
  if (kind === 'count') {
    // Knuth: multiply uniforms until they fall below exp(-mean).
    const floor = Math.exp(-Math.exp(eta));
    let count = 0;
    for (let product = stream.uniform(); product > floor; product *= stream.uniform()) count++;
    return count;
  }
  const u = stream.uniform();
  return 1 + [-0.8, 0.6, 1.9].filter((cut) => u > 1 / (1 + Math.exp(-(cut - eta)))).length;
}
