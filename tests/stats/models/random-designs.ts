import { createStream } from '../../../src/numerics/index.ts';
import type { DataColumns, Model } from '../../../src/stats/index.ts';
import { type DenseTerm, type Matrix, zeros } from './dense-oracle.ts';

export interface RandomDesign {
  readonly name: string;
  readonly data: DataColumns;
  readonly model: Model;
  /** The same problem in plain numbers, before columns were put on wild scales. */
  readonly x: Matrix;
  readonly y: number[];
  readonly terms: readonly DenseTerm[];
  readonly kinds: readonly ('full' | 'diagonal')[];
  /** What to add to the engine's deviance to compare with the plain one. */
  readonly devianceShift: number;
  readonly effects: readonly string[][];
  /** Scale of each random effect's column and of the outcome. */
  readonly columnScale: number;
  readonly columnShift: number;
  readonly outcomeScale: number;
}

interface Row {
  /** Its level in each grouping term, and the columns that name it. */
  readonly levels: readonly string[];
  readonly columns: Readonly<Record<string, string>>;
  readonly x: number;
  readonly z: number;
  readonly arm: string;
}
interface Layout {
  readonly name: string;
  readonly rows: readonly Row[];
  /** The group of each random term, as the model names it. */
  readonly groups: readonly (string | readonly string[])[];
}
interface Draws {
  readonly uniform: () => number;
  readonly normal: () => number;
  readonly whole: (low: number, high: number) => number;
}

/** One to three nested levels, unbalanced and with cells missing. */
function nested(seed: number, { uniform, normal, whole }: Draws): Layout {
  const depth = seed % 3 === 0 ? 2 : seed % 7 === 0 ? 3 : 1;
  const rows: Row[] = [];
  const outer = depth === 3 ? whole(5, 6) : whole(5, 8);
  for (let a = 0; a < outer; a++) {
    const middle = depth > 1 ? whole(2, 3) : 1;
    for (let b = 0; b < middle; b++) {
      const inner = depth > 2 ? whole(1, 2) : 1;
      for (let c = 0; c < inner; c++) {
        const size = depth === 1 ? whole(2, 8) : whole(1, depth === 2 ? 5 : 4);
        for (let r = 0; r < size; r++) {
          const path = [`a${a}`, `b${b}`, `c${c}`].slice(0, depth);
          rows.push({
            levels: path.map((_, level) => path.slice(0, level + 1).join('/')),
            columns: Object.fromEntries(path.map((value, level) => ['abc'[level]!, value])),
            x: normal(),
            z: normal(),
            arm: ['p', 'q', 'r'][uniform() < 0.15 ? whole(0, 2) : a % 3]!,
          });
        }
      }
    }
  }
  return {
    name: `${depth} level${depth > 1 ? 's' : ''}`,
    rows,
    groups: ['a', ['a', 'b'], ['a', 'b', 'c']].slice(0, depth),
  };
}

/**
 * Two crossed groups, or three of which the third cuts across both; a quarter of the cells is missing, the others hold
 * one to three rows. Every third design is only partly crossed: most levels of the first group stay with one level of
 * the second, as golfers with their instructor.
 */
function crossed(seed: number, { uniform, normal, whole }: Draws): Layout {
  const [wide, high] = [whole(5, 7), whole(4, 5)];
  const third = seed % 4 === 0;
  const faithful = seed % 3 === 0;
  const rows: Row[] = [];
  for (let a = 0; a < wide; a++) {
    const changes = uniform() < 0.4;
    for (let b = 0; b < high; b++) {
      if (faithful ? b !== a % high && !(changes && b === (a + 1) % high) : uniform() < 0.25) continue;
      const size = faithful ? whole(2, 5) : whole(1, 3);
      for (let r = 0; r < size; r++) {
        const levels = [`a${a}`, `b${b}`, ...(third ? [`c${whole(0, 4)}`] : [])];
        rows.push({
          levels,
          columns: Object.fromEntries(levels.map((value, level) => ['abc'[level]!, value])),
          x: normal(),
          z: normal(),
          arm: ['p', 'q'][whole(0, 1)]!,
        });
      }
    }
  }
  return {
    name: `${third ? 'three' : 'two'} ${faithful ? 'partly ' : ''}crossed groups`,
    rows,
    groups: third ? ['a', 'b', 'c'] : ['a', 'b'],
  };
}

/**
 * Small designs of every awkward kind, from one seed each: nested groups (`randomDesign`) or crossed ones
 * (`randomCrossedDesign`), one to three effects, unbalanced and missing cells, variances near zero, correlations near
 * one, columns on wild scales.
 */
export function randomDesign(seed: number): RandomDesign {
  const draws = drawsOf(seed);
  return designOf(seed, draws, nested);
}

export function randomCrossedDesign(seed: number): RandomDesign {
  return designOf(seed, drawsOf(seed, 'crossed'), crossed);
}

function drawsOf(seed: number, ...path: string[]): Draws {
  const stream = createStream(seed, ...path);
  const uniform = () => stream.uniform();
  return {
    uniform,
    normal: () => stream.normal(),
    whole: (low, high) => low + Math.floor(uniform() * (high - low + 1)),
  };
}

function designOf(
  seed: number,
  draws: Draws,
  layoutOf: (seed: number, draws: Draws) => Layout,
): RandomDesign {
  const { uniform, normal, whole } = draws;
  const wild = seed % 4 === 1;
  const columnScale = wild ? 10 ** whole(-6, 6) : 1;
  const outcomeScale = wild ? 10 ** whole(-5, 5) : 1;
  const reml = seed % 5 !== 0;
  const { name, rows, groups } = layoutOf(seed, draws);
  const arms = ['p', 'q', 'r'].filter((arm) => rows.some((row) => row.arm === arm));
  const effectsOf = (level: number): string[] => {
    const most = layoutOf === crossed ? 2 : 3;
    const count = level === 0 ? whole(1, most) : whole(1, most - 1);
    return ['intercept', 'x', 'z'].slice(0, count);
  };
  const kinds: ('full' | 'diagonal')[] = [];
  const effects: string[][] = [];
  const terms: DenseTerm[] = [];
  const sizes: number[][] = [];
  groups.forEach((_, level) => {
    effects.push(effectsOf(level));
    kinds.push(uniform() < 0.7 ? 'full' : 'diagonal');
    const keys = rows.map((row) => row.levels[level]!);
    const names = [...new Set(keys)];
    terms.push({
      designs: effects[level]!.map((effect) => {
        const z = zeros(rows.length, names.length);
        rows.forEach((row, i) => {
          z[i]![names.indexOf(keys[i]!)] = effect === 'intercept' ? 1 : effect === 'x' ? row.x : row.z;
        });
        return z;
      }),
    });
    const size = [0, 0.05, 0.5, 1, 2][whole(0, 4)]!;
    sizes.push(effects[level]!.map(() => size * (0.3 + uniform())));
  });
  const y = rows.map((row) => 1 + 0.5 * row.x + (row.arm === 'q' ? 0.7 : 0) + normal());
  terms.forEach(({ designs }, t) => {
    const alike = uniform() < 0.3;
    const shared = designs[0]![0]!.map(() => normal());
    designs.forEach((z, e) => {
      const u = z[0]!.map((_, l) => sizes[t]![e]! * (alike ? shared[l]! : normal()));
      rows.forEach((_, i) => {
        y[i]! += z[i]!.reduce((sum, value, l) => sum + value * u[l]!, 0);
      });
    });
  });
  // A shift changes what a diagonal covariance means, so only full ones get it.
  const columnShift = wild && kinds.every((kind) => kind === 'full') ? 50 * columnScale : 0;
  const data: DataColumns = {
    y: y.map((value) => value * outcomeScale),
    x: rows.map((row) => row.x * columnScale + columnShift),
    z: rows.map((row) => row.z),
    arm: rows.map((row) => row.arm),
    ...Object.fromEntries(
      Object.keys(rows[0]!.columns).map((column) => [column, rows.map((row) => row.columns[column]!)]),
    ),
  };
  const model: Model = {
    outcome: 'y',
    fixed: ['intercept', { column: 'x' }, ...(arms.length > 1 ? [{ column: 'arm', levels: arms }] : [])],
    random: effects.map((list, level) => ({
      group: groups[level]!,
      effects: list,
      covariance: kinds[level]!,
    })),
    criterion: reml ? 'reml' : 'ml',
    inference: { degreesOfFreedom: reml ? 'kenward-roger' : 'satterthwaite' },
  };
  const x = rows.map((row) => [1, row.x, ...arms.slice(1).map((arm) => (row.arm === arm ? 1 : 0))]);
  const n = rows.length;
  const degrees = reml ? n - x[0]!.length : n;
  return {
    name: `seed ${seed}: ${name}, ${n} rows, ${effects.map((e, t) => `${e.length} ${kinds[t]}`).join(' + ')}, ${reml ? 'reml' : 'ml'}${wild ? ', wild scales' : ''}`,
    data,
    model,
    x,
    y,
    terms,
    kinds,
    effects,
    columnScale,
    columnShift,
    outcomeScale,
    devianceShift: -2 * degrees * Math.log(outcomeScale) - (reml ? 2 * Math.log(columnScale) : 0),
  };
}
