import type { FittedGeneralised } from './fitted-generalised.ts';
import type { GeneralisedDesign } from './generalised-design.ts';
import { overdispersionNote } from './overdispersion.ts';

/** An SD above this on the log-odds scale (columns at unit size) means levels of which most hardly vary inside. */
const VAST_SD = 5;

/** What the user of a fit should know about it, in words. */
export function fitNotes(fitted: FittedGeneralised): string[] {
  const { design, converged } = fitted;
  const notes = [...design.notes];
  const deciding = decidingGroup(design);
  if (deciding !== null)
    notes.push(
      `${design.model.outcome} never varies inside a level of ${deciding}: how far its levels differ has no finite estimate, so do not use these numbers.`,
    );
  else if (!converged)
    notes.push('The search for the optimum stopped before it was reached: do not use these numbers.');
  else notes.push(...vastNotes(fitted));
  const spread = overdispersionNote(fitted);
  if (spread) notes.push(spread);
  return notes;
}

/**
 * A group inside whose levels a yes/no or ordinal outcome never varies, or null: the likelihood then rises without end as
 * its variance grows.
 */
export function decidingGroup({
  model,
  groupings,
  observed,
  trials,
  rows,
}: GeneralisedDesign): string | null {
  if (model.distribution === 'count') return null;
  for (const { name, levels, at } of groupings) {
    const first = new Float64Array(levels.length).fill(Number.NaN);
    let varies = false;
    for (let i = 0; i < rows && !varies; i++) {
      const n = trials ? trials[i]! : 1;
      const y = trials ? observed[i]! / n : observed[i]!;
      if (Number.isNaN(first[at[i]!]!)) first[at[i]!] = y;
      varies = y !== first[at[i]!] || (trials !== null && y > 0 && y < 1);
    }
    if (!varies) return name;
  }
  return null;
}

function vastNotes({ design, theta, random }: FittedGeneralised): string[] {
  if (!random || design.model.distribution === 'count') return [];
  const { shape } = random.layout;
  return design.terms.flatMap(({ group, effects }, t) => {
    const covariance = shape.covariance(theta, t);
    const q = effects.length;
    return effects.flatMap((effect, a) => {
      const sd = Math.sqrt(covariance[a * q + a]!);
      if (sd <= VAST_SD) return [];
      const remedy =
        (design.model.quadraturePoints ?? 1) > 1
          ? ''
          : design.terms.length === 1 && q === 1
            ? " Laplace's approximation is poor there; ask for 25 quadraturePoints."
            : " Laplace's approximation is poor there.";
      return [
        `In ${effect} the levels of ${group} differ so much (an SD of ${sd.toPrecision(2)} on the log-odds scale) that most of them hardly vary inside: its size is known only roughly.${remedy}`,
      ];
    });
  });
}
