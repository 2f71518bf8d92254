/** A number for a sentence: at most four figures that matter. */
export function fewNumbers(value: number): string {
  return String(Number(value.toPrecision(4)));
}
