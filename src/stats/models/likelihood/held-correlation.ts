import type { Design } from '../design/design.ts';
import { inverseOfUpper } from '../design/random-columns.ts';
import { semidefiniteFactor } from '../linear/boundary.ts';
import { freePositions } from '../linear/covariance-shape.ts';
import type { ProfiledDeviance } from '../linear/profiled-deviance.ts';
import { congruent } from '../linear/random-estimates.ts';
import { type Held, searchHeld } from './held-scale.ts';

/**
 * Holds the correlation of effects `a` and `b` of term `t`. With those two first, the named covariance is F F' with F
 * lower triangular; its second row is s (r, sqrt(1 - r^2), 0...), so that F is linear in what is free: the two SDs and
 * the rows after them. The residual variance is profiled out.
 */
export function holdCorrelation(
  design: Design,
  deviance: ProfiledDeviance,
  optimum: Float64Array,
  t: number,
  a: number,
  b: number,
): Held {
  const { shape, shapeTerm } = design.assembled;
  const { toModel, effects } = design.terms[t]!;
  const q = effects.length;
  const place = shapeTerm[t]!;
  const start = shape.starts[place]!;
  const positions = freePositions(shape.terms[place]!);
  const own = positions.length;
  const total = optimum.length;
  const order = [a, b, ...effects.keys()].filter((effect, at, all) => all.indexOf(effect) === at);
  /** From the permuted named coordinates to the inner ones: T^-1 P'. */
  const inverse = inverseOfUpper(toModel, q);
  const back = new Float64Array(q * q);
  for (let i = 0; i < q; i++) for (let j = 0; j < q; j++) back[i * q + j] = inverse[i * q + order[j]!]!;
  const entries: (readonly [number, number])[] = [
    [0, 0],
    [1, 1],
  ];
  for (let row = 2; row < q; row++) for (let column = 0; column <= row; column++) entries.push([row, column]);
  const k = own - 1;
  const free = total - 1;
  /** The variables: the other terms' thetas in their places, the term's own F in the k places from `start` on. */
  const otherThetas = Array.from({ length: total }, (_, i) => i).filter((i) => i < start || i >= start + own);
  const variableOf = (theta: number) => (theta < start ? theta : theta - 1);
  const elementsOf = (named: Float64Array): Float64Array => {
    const inner = congruent(back, named, q);
    return Float64Array.from(positions, ([row, column]) => inner[row * q + column]!);
  };
  const outer = (x: Float64Array, y: Float64Array): Float64Array => {
    const out = new Float64Array(q * q);
    for (let i = 0; i < q; i++)
      for (let j = 0; j < q; j++)
        for (let l = 0; l < q; l++)
          out[i * q + j] = out[i * q + j]! + x[i * q + l]! * y[j * q + l]! + y[i * q + l]! * x[j * q + l]!;
    return out;
  };
  const startFrom = (): Float64Array => {
    const inner = shape.covariance(optimum, place);
    const permuted = new Float64Array(q * q);
    for (let i = 0; i < q; i++) for (let j = 0; j < q; j++) permuted[i * q + j] = toModel[order[i]! * q + j]!;
    const named = congruent(permuted, inner, q);
    const { factor } = semidefiniteFactor(named, q, q);
    const x = new Float64Array(free);
    for (const theta of otherThetas) x[variableOf(theta)] = optimum[theta]! || 1e-3;
    entries.forEach(([row, column], e) => {
      x[start + e] = (e < 2 ? Math.sqrt(named[row * q + row]!) : factor[row * q + column]!) || 1e-3;
    });
    return x;
  };
  return {
    least(r, at) {
      const directions = entries.map(([row, column], e) => {
        const direction = new Float64Array(q * q);
        if (e === 1) {
          direction[q] = r;
          direction[q + 1] = Math.sqrt(1 - r * r);
        } else direction[row * q + column] = 1;
        return direction;
      });
      const bends = directions.map((one) => directions.map((other) => elementsOf(outer(one, other))));
      const theta = new Float64Array(total);
      return searchHeld((x) => {
        const F = new Float64Array(q * q);
        directions.forEach((direction, e) => {
          for (let i = 0; i < q * q; i++) F[i] = F[i]! + x[start + e]! * direction[i]!;
        });
        for (const other of otherThetas) theta[other] = x[variableOf(other)]!;
        const named = outer(F, F).map((value) => value / 2);
        const { factor } = semidefiniteFactor(congruent(back, named, q), q, q);
        positions.forEach(([row, column], e) => {
          theta[start + e] = factor[row * q + column]!;
        });
        const here = deviance.evaluate(theta);
        const { gradientByElement, residualSum, residualSumBy, residualSumByTwo, logTermsByTwo } = here;
        const scale = design.rows / residualSum;
        const byTwo = (i: number, j: number) =>
          logTermsByTwo[i * total + j]! +
          scale * (residualSumByTwo[i * total + j]! - (residualSumBy[i]! * residualSumBy[j]!) / residualSum);
        // Slopes of all elements by each variable.
        const slopes = Array.from({ length: free }, () => new Float64Array(total));
        const others = { gradient: new Float64Array(total), hessian: new Float64Array(total * total) };
        for (const other of otherThetas)
          for (let e = 0; e < total; e++) {
            if (e >= start && e < start + own) continue;
            slopes[variableOf(other)]![e] = slopeOf(other, e, theta);
          }
        directions.forEach((direction, e) => {
          slopes[start + e]!.set(elementsOf(outer(direction, F)), start);
        });
        const gradient = new Float64Array(free);
        const hessian = new Float64Array(free * free);
        for (let i = 0; i < free; i++)
          for (let e = 0; e < total; e++) gradient[i] = gradient[i]! + slopes[i]![e]! * gradientByElement[e]!;
        for (let i = 0; i < free; i++)
          for (let j = 0; j <= i; j++) {
            let sum = 0;
            for (let e = 0; e < total; e++)
              for (let f = 0; f < total; f++) sum += slopes[i]![e]! * byTwo(e, f) * slopes[j]![f]!;
            hessian[i * free + j] = sum;
          }
        // The bend of the elements themselves: of the own ones by F, of the others as theta has them.
        for (let e = 0; e < k; e++)
          for (let f = 0; f <= e; f++)
            bends[e]![f]!.forEach((value, element) => {
              const to = (start + e) * free + start + f;
              hessian[to] = hessian[to]! + value * gradientByElement[start + element]!;
            });
        shape.fillTheta(theta, gradientByElement, new Float64Array(total * total), others);
        for (const one of otherThetas)
          for (const other of otherThetas) {
            if (other > one) continue;
            const to = variableOf(one) * free + variableOf(other);
            hessian[to] = hessian[to]! + others.hessian[one * total + other]!;
          }
        for (let i = 0; i < free; i++)
          for (let j = 0; j < i; j++) hessian[j * free + i] = hessian[i * free + j]!;
        return { value: here.value, gradient, hessian };
      }, at ?? startFrom());
    },
  };

  /** d element / d theta, read off the chain rule. */
  function slopeOf(theta: number, element: number, at: Float64Array): number {
    const unit = new Float64Array(total);
    unit[element] = 1;
    return shape.chain(at, unit)[theta]!;
  }
}
