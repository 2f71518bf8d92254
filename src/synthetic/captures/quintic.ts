/** A polynomial of fifth degree between two states of position, speed and acceleration. */
export interface Quintic {
  readonly from: number;
  readonly to: number;
  /** Coefficients of powers of the share of the time gone by. */
  readonly terms: readonly [number, number, number, number, number, number];
}

export interface EndState {
  readonly position: number;
  readonly speed: number;
  readonly acceleration: number;
}

/** The quintic that meets both states; from rest to rest it is the path of least jerk (Flash and Hogan 1985). */
export function quintic(from: number, start: EndState, to: number, end: EndState): Quintic {
  const span = to - from;
  const [p, v, a] = [start.position, start.speed * span, start.acceleration * span * span];
  const [q, w, b] = [end.position, end.speed * span, end.acceleration * span * span];
  const d = q - p;
  return {
    from,
    to,
    terms: [
      p,
      v,
      a / 2,
      10 * d - 6 * v - 4 * w - 1.5 * a + 0.5 * b,
      -15 * d + 8 * v + 7 * w + 1.5 * a - b,
      6 * d - 3 * v - 3 * w - 0.5 * a + 0.5 * b,
    ],
  };
}

export function quinticAt({ from, to, terms }: Quintic, time: number): number {
  const s = (time - from) / (to - from);
  return terms.reduceRight((sum, term) => sum * s + term, 0);
}

export function quinticRate({ from, to, terms }: Quintic, time: number): number {
  const s = (time - from) / (to - from);
  let sum = 0;
  for (let k = 5; k > 0; k--) sum = sum * s + k * terms[k]!;
  return sum / (to - from);
}
