import type { Design } from '../design/design.ts';
import type { BlockSystem } from '../linear/block-system.ts';
import { isCrossed } from '../linear/crossed/crossed-system.ts';
import { findOptimum } from '../linear/optimum.ts';
import { profiledDeviance } from '../linear/profiled-deviance.ts';
import type { Held } from './held-scale.ts';

/**
 * Holds a weighted sum of fixed effects, given by its weights `c` in the coordinates of the fit and the sum's value at
 * the design's start. The fixed columns are turned so that the first is the direction of c; it is taken out of the
 * columns and, times the value held, off the outcome: only the outcome's cross products change from value to value.
 */
export function holdFixed(design: Design, c: Float64Array, atStart: number): Held {
  const { system, shape } = design.assembled;
  if (isCrossed(system)) return holdCrossed();
  const p = c.length;
  const length = Math.sqrt(c.reduce((sum, value) => sum + value * value, 0));
  const turn = rotationTo(
    c.map((value) => value / length),
    p,
  );
  const turned = turnedSystem(system, turn, p);
  const reduced = withoutFirst(turned, p);
  const deviance = profiledDeviance(reduced, shape, 'ml');
  return {
    least(value, at) {
      const held = (value - atStart) / (design.outcomeScale * length);
      shiftOutcome(turned, reduced, p, held);
      deviance.refresh();
      const found = findOptimum(reduced, shape, deviance, at ? { start: at, enough: 1e-9 } : {});
      const start = Float64Array.from(found.theta, (x) => x || 1e-3);
      return { value: found.evaluation.value, at: start };
    },
  };
}

/** Crossed systems keep their couplings in another form. */
function holdCrossed(): never {
  throw new Error('profileIntervals: crossed groups are not profiled; use the parametric bootstrap');
}

/** An orthogonal p x p matrix (row-major, columns are directions) whose first column is the unit vector `u`. */
function rotationTo(u: Float64Array, p: number): Float64Array {
  const turn = new Float64Array(p * p);
  const w = Float64Array.from(u);
  const sign = u[0]! >= 0 ? 1 : -1;
  w[0] = w[0]! + sign;
  const square = w.reduce((sum, value) => sum + value * value, 0);
  // Householder's reflection takes the first axis to -sign u.
  for (let i = 0; i < p; i++)
    for (let j = 0; j < p; j++)
      turn[i * p + j] = ((i === j ? 1 : 0) - (2 * w[i]! * w[j]!) / square) * (j === 0 ? -sign : 1);
  return turn;
}

function turnedSystem(system: BlockSystem, turn: Float64Array, p: number): BlockSystem {
  const D = p + 1;
  const row = new Float64Array(p);
  const turnRow = (a: Float64Array, first: number, step: number): void => {
    for (let j = 0; j < p; j++) {
      let sum = 0;
      for (let i = 0; i < p; i++) sum += a[first + i * step]! * turn[i * p + j]!;
      row[j] = sum;
    }
    for (let j = 0; j < p; j++) a[first + j * step] = row[j]!;
  };
  const blocks = system.blocks.map((block, s) => {
    const out = Float64Array.from(block);
    const { width } = system.stages[s]!;
    for (let at = width - D; at < out.length; at += width) turnRow(out, at, 1);
    return out;
  });
  const corner = Float64Array.from(system.corner);
  for (let a = 0; a < D; a++) turnRow(corner, a * D, 1);
  for (let a = 0; a < D; a++) turnRow(corner, a, D);
  return { ...system, blocks, corner };
}

/** The system without its first fixed column; the outcome's products are those of `shiftOutcome`. */
function withoutFirst(system: BlockSystem, p: number): BlockSystem {
  const D = p + 1;
  const stages = system.stages.map((stage) => ({ ...stage, width: stage.width - 1 }));
  const blocks = system.blocks.map((block, s) => {
    const { width } = system.stages[s]!;
    return block.filter((_, at) => at % width !== width - D);
  });
  const corner = system.corner.filter((_, at) => at >= D && at % D !== 0);
  return { ...system, stages, trailing: D - 1, blocks, corner };
}

/** Puts the cross products of the outcome less `held` times the first fixed column into the reduced system. */
function shiftOutcome(turned: BlockSystem, reduced: BlockSystem, p: number, held: number): void {
  const D = p + 1;
  reduced.blocks.forEach((block, s) => {
    const { width } = turned.stages[s]!;
    const from = turned.blocks[s]!;
    for (let row = 0, at = width - 2; at < block.length; row += width, at += width - 1)
      block[at] = from[row + width - 1]! - held * from[row + width - D]!;
  });
  const { corner } = turned;
  const d = D - 1;
  for (let a = 1; a < p; a++) {
    const value = corner[a * D + p]! - held * corner[a * D]!;
    reduced.corner[(a - 1) * d + d - 1] = value;
    reduced.corner[(d - 1) * d + a - 1] = value;
  }
  reduced.corner[d * d - 1] = corner[p * D + p]! - 2 * held * corner[p]! + held * held * corner[0]!;
}
