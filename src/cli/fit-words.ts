import type { FitResult } from '../stats/index.ts';

const DIGITS = 6;

/** A fit for people: what each term comes to, how far golfers (or whatever the groups are) differ, what to mind. */
export function fitInWords(result: FitResult): string {
  const groups = Object.entries(result.groups).map(([group, levels]) => `${levels} levels of ${group}`);
  const lines = [
    `${result.observations} observations${groups.length === 0 ? '' : `, ${groups.join(', ')}`}${result.leftOut.length === 0 ? '' : `; ${result.leftOut.length} rows left out`}.`,
    '',
    'Each term, with its interval:',
    ...result.fixed.map(
      ({ term, estimate, interval, standardError, degreesOfFreedom }) =>
        `  ${term}: ${show(estimate)} (${show(interval[0])} to ${show(interval[1])}); standard error ${show(standardError)}${degreesOfFreedom === null ? '' : `, ${show(degreesOfFreedom)} degrees of freedom`}`,
    ),
    '',
    'Spread:',
    ...result.random.flatMap(({ group, effects, sd }) =>
      effects.map(
        (effect, index) => `  ${effect} between levels of ${group}: SD ${show(sd[index] ?? Number.NaN)}`,
      ),
    ),
    `  what is left: SD ${show(result.residualSd)}`,
  ];
  const { boundary, notes } = result.diagnosis;
  return [...lines, ...(boundary.length + notes.length === 0 ? [] : ['', ...boundary, ...notes])].join('\n');
}

function show(value: number): string {
  return String(Number(value.toPrecision(DIGITS)));
}
