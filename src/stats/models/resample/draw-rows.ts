import type { Stream } from '../../../numerics/index.ts';
import type { Design } from '../design/design.ts';

/** Draws outcomes row by row, in units of the residual SD, with all fixed effects zero: for crossed groups. */
export function prepareRows(design: Design): (stream: Stream, factors: readonly Float64Array[]) => void {
  const { assembled, rows, terms, groupings } = design;
  const { places, system } = assembled;
  const outcome = new Float64Array(rows);
  const parts = terms.map((term, t) => {
    const grouping = groupings.find(({ name }) => name === term.group)!;
    const { stage, offset } = places[t]!;
    const q = term.effects.length;
    const effects = new Float64Array(grouping.levels.length * q);
    return { values: term.values, at: grouping.at, stage, first: offset[0]!, q, effects };
  });
  const z = new Float64Array(Math.max(1, ...parts.map(({ q }) => q)));
  return (stream, factors) => {
    for (let i = 0; i < rows; i++) outcome[i] = stream.normal();
    for (const { values, at, stage, first, q, effects } of parts) {
      const width = system.stages[stage]!.effects;
      const factor = factors[stage]!;
      for (let level = 0; level < effects.length; level += q) {
        for (let a = 0; a < q; a++) z[a] = stream.normal();
        for (let a = 0; a < q; a++) {
          let sum = 0;
          for (let b = 0; b <= a; b++) sum += factor[(first + a) * width + first + b]! * z[b]!;
          effects[level + a] = sum;
        }
      }
      for (let i = 0; i < rows; i++)
        for (let a = 0; a < q; a++) outcome[i] = outcome[i]! + values[i * q + a]! * effects[at[i]! * q + a]!;
    }
    assembled.fillOutcome(outcome);
  };
}
