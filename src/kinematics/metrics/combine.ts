import type { Outcome } from './reader.ts';

/** A value from readings whose errors are taken as independent; `slopes` are its derivatives, without sign. */
export function combine(
  parts: readonly Outcome[],
  value: (values: readonly number[]) => number,
  slopes: readonly number[],
): Outcome {
  const values: number[] = [];
  let variance = 0;
  for (const [i, part] of parts.entries()) {
    if ('missing' in part) return part;
    values.push(part.reading.value);
    variance += (slopes[i]! * part.reading.sd) ** 2;
  }
  return { reading: { value: value(values), sd: Math.sqrt(variance) } };
}
