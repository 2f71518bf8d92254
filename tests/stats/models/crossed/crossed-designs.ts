import { createStream } from '../../../../src/numerics/index.ts';
import type { DataColumns, Model } from '../../../../src/stats/index.ts';
import { type DenseTerm, type Matrix, zeros } from '../dense-oracle.ts';

export interface CrossedDesign {
  readonly name: string;
  readonly data: DataColumns;
  readonly model: Model;
  readonly x: Matrix;
  readonly y: number[];
  readonly terms: readonly DenseTerm[];
  readonly kinds: readonly ('full' | 'diagonal')[];
  /** The level names of each term, in the order of the columns of its designs. */
  readonly levels: readonly (readonly string[])[];
}

const KINDS = ['complete', 'partial', 'disconnected', 'chain', 'three'] as const;

/**
 * A small random design with crossed groups, unbalanced and with missing cells: complete crossing, golfers of whom some
 * changed instructor, two halves that share nothing, a factor crossed with a nested chain, three crossed factors. Slopes in
 * two of the factors in half of them; a factor that does not vary at all in a quarter.
 */
export function crossedDesign(seed: number): CrossedDesign {
  const stream = createStream(seed, 'crossed');
  const kind = KINDS[seed % KINDS.length]!;
  const slopes = stream.uniform() < 0.5;
  const still = stream.uniform() < 0.25;
  const reml = stream.uniform() < 0.6;
  const covariance = stream.uniform() < 0.7 ? 'full' : 'diagonal';
  const whole = (from: number, to: number) => from + Math.floor(stream.uniform() * (to - from + 1));
  const golfers = whole(5, 8);
  const instructors = whole(4, 6);
  const own = Array.from({ length: golfers }, () => [whole(1, instructors), whole(1, instructors)] as const);
  const n = whole(44, 60);
  const rows = Array.from({ length: n }, (_, i) => {
    const g = i < golfers ? i + 1 : whole(1, golfers);
    let instructor = i < instructors ? i + 1 : whole(1, instructors);
    if (kind === 'partial') instructor = own[g - 1]![stream.uniform() < 0.7 ? 0 : 1]!;
    if (kind === 'disconnected') {
      const half = Math.floor(instructors / 2);
      instructor = g % 2 === 0 ? whole(1, half) : whole(half + 1, instructors);
    }
    return {
      golfer: `G${g}`,
      instructor: `I${instructor}`,
      session: `S${whole(1, 3)}`,
      course: `C${whole(1, 4)}`,
      x: stream.normal(),
    };
  });
  type Name = 'golfer' | 'instructor' | 'session' | 'course';
  const plan: { group: Name | [Name, Name]; slopes: boolean; sd: number }[] = [
    { group: 'golfer', slopes, sd: 1.2 },
    { group: 'instructor', slopes, sd: still ? 0 : 0.9 },
  ];
  if (kind === 'chain') plan.push({ group: ['golfer', 'session'], slopes: false, sd: 0.8 });
  if (kind === 'three') plan.push({ group: 'course', slopes: false, sd: 0.7 });

  const x = rows.map((row) => [1, row.x]);
  const y = rows.map((row) => 2 + 0.5 * row.x + 0.6 * stream.normal());
  const levels: string[][] = [];
  const terms = plan.map(({ group, slopes: sloped, sd }): DenseTerm => {
    const label = (i: number) =>
      Array.isArray(group) ? group.map((name) => rows[i]![name]).join(' / ') : rows[i]![group];
    const names = [...new Set(rows.map((_, i) => label(i)))];
    levels.push(names);
    const designs = (sloped ? ['intercept', 'x'] : ['intercept']).map((effect) => {
      const z = zeros(n, names.length);
      rows.forEach((row, i) => {
        z[i]![names.indexOf(label(i))] = effect === 'x' ? row.x : 1;
      });
      return z;
    });
    designs.forEach((z, e) => {
      const u = names.map(() => (e === 0 ? sd : 0.5 * sd) * stream.normal());
      rows.forEach((_, i) => {
        y[i]! += z[i]!.reduce((sum, value, l) => sum + value * u[l]!, 0);
      });
    });
    return { designs };
  });
  const kinds = plan.map((term) => (term.slopes ? covariance : ('full' as const)));
  return {
    name: `seed ${seed}: ${kind}, ${n} rows${slopes ? `, ${covariance} slopes` : ''}${still ? ', one factor without variance' : ''}, ${reml ? 'reml' : 'ml'}`,
    data: {
      y,
      x: rows.map((row) => row.x),
      golfer: rows.map((row) => row.golfer),
      instructor: rows.map((row) => row.instructor),
      session: rows.map((row) => row.session),
      course: rows.map((row) => row.course),
    },
    model: {
      outcome: 'y',
      fixed: ['intercept', { column: 'x' }],
      random: plan.map((term, t) => ({
        group: term.group,
        effects: term.slopes ? ['intercept', 'x'] : ['intercept'],
        covariance: kinds[t]!,
      })),
      criterion: reml ? 'reml' : 'ml',
      inference: { degreesOfFreedom: reml ? 'kenward-roger' : 'satterthwaite' },
    },
    x,
    y,
    terms,
    kinds,
    levels,
  };
}
