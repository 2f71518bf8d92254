import type { Stage } from './block-system.ts';
import type { Eliminated } from './elimination-level.ts';

/** Remembers the log determinant and its derivatives; the function returned multiplies what was added since by `weight`. */
export function addedTo(result: Eliminated, weight: number): () => void {
  const before = result.logDeterminant;
  const by = Float64Array.from(result.logDeterminantBy);
  const byTwo = Float64Array.from(result.logDeterminantByTwo);
  const scale = (now: Float64Array, then: Float64Array) => {
    for (let i = 0; i < now.length; i++) now[i] = then[i]! + weight * (now[i]! - then[i]!);
  };
  return () => {
    result.logDeterminant = before + weight * (result.logDeterminant - before);
    scale(result.logDeterminantBy, by);
    scale(result.logDeterminantByTwo, byTwo);
  };
}

/** Runs [first, end) of nodes with the same parent. */
export function siblingRuns({ nodes, parent }: Stage): (readonly [number, number])[] {
  const runs: [number, number][] = [];
  for (let first = 0; first < nodes; ) {
    let end = first + 1;
    while (end < nodes && parent[end] === parent[first]) end++;
    runs.push([first, end]);
    first = end;
  }
  return runs;
}
