import type { ModelledMetric } from '../model/modelled-metrics.ts';
import { isSame } from '../model/slopes.ts';
import { CURVE_QUANTITIES, type PathName, type Recipe } from './recipe.ts';
import type { RecipeProblem } from './recipe-problem.ts';

/** What the blocks that not every recipe has must agree with. */
export function blockProblems(recipe: Recipe): RecipeProblem[] {
  return [
    ...slopeProblems(recipe),
    ...mechanismProblems(recipe),
    ...teachingProblems(recipe),
    ...thresholdProblems(recipe),
    ...curveProblems(recipe),
  ];
}

/** Slopes of their own between golfers, or that differ over golfers, leave no single effect of a drill to state. */
function slopeProblems({ metrics, learning }: Recipe): RecipeProblem[] {
  const problems: RecipeProblem[] = [];
  for (const [metric, { paths = {}, golferPaths, pathSds = {} }] of Object.entries(metrics)) {
    for (const from of Object.keys(pathSds))
      if (paths[from as ModelledMetric] === undefined)
        problems.push({
          where: `/metrics/${metric}/pathSds/${from}`,
          found: 'the SD of a slope that is not there',
          expected: `a slope from ${from} in /metrics/${metric}/paths (it may be 0)`,
          remedy: 'Add the slope, or take the SD out.',
        });
    const apart = golferPaths !== undefined || Object.keys(pathSds).length > 0;
    if (apart && Object.keys(learning.drill).length > 0)
      problems.push({
        where: '/learning/drill',
        found: `an effect of a drill beside ${golferPaths === undefined ? 'pathSds' : 'golferPaths'} of ${metric}`,
        expected: 'no drill: with slopes that differ there is no one effect to state as true',
        remedy: 'Take the drill out, or the differing slopes.',
      });
  }
  return problems;
}

function mechanismProblems({ mechanism, metrics, design }: Recipe): RecipeProblem[] {
  if (mechanism === undefined) return [];
  const problems: RecipeProblem[] = [];
  if (design.kind !== 'roster' || new Set(design.visits.map(({ phase }) => phase)).size > 1)
    problems.push({
      where: '/design',
      found: design.kind === 'roster' ? 'visits of several phases' : `the kind ${design.kind}`,
      expected: 'the kind roster with visits of one phase, so that nothing but chance moves a golfer',
      remedy: 'Change the design, or take /mechanism out.',
    });
  const seen: PathName[] = [];
  (mechanism.slopeCorrelations ?? []).forEach(({ first, second }, at) => {
    for (const [key, path] of [
      ['first', first],
      ['second', second],
    ] as const) {
      const where = `/mechanism/slopeCorrelations/${at}/${key}`;
      if (metrics[path.to].pathSds?.[path.from] === undefined)
        problems.push({
          where,
          found: `the slope from ${path.from} to ${path.to}`,
          expected: 'a slope that has an SD in pathSds',
          remedy: `Give /metrics/${path.to}/pathSds/${path.from}.`,
        });
      if (seen.some((other) => isSame(other, path)))
        problems.push({
          where,
          found: `the slope from ${path.from} to ${path.to} a second time`,
          expected: 'each slope in one correlation',
          remedy: 'Take one of the correlations out.',
        });
      seen.push(path);
    }
  });
  return problems;
}

function teachingProblems({ teaching, roster }: Recipe): RecipeProblem[] {
  if (teaching === undefined) return [];
  const { pupils, betterPlayersFirst } = teaching;
  const problems: RecipeProblem[] = [];
  const all = pupils.reduce((sum, count) => sum + count, 0);
  if (all !== roster.golfers)
    problems.push({
      where: '/teaching/pupils',
      found: `${all} pupils in all`,
      expected: `${roster.golfers}, as in /roster/golfers`,
      remedy: 'Change one of the two.',
    });
  if (pupils.length !== roster.instructors)
    problems.push({
      where: '/teaching/pupils',
      found: `${pupils.length} instructors`,
      expected: `${roster.instructors}, as in /roster/instructors`,
      remedy: 'Change one of the two.',
    });
  const sorted = [...betterPlayersFirst].sort((a, b) => a - b);
  if (sorted.length !== pupils.length || sorted.some((number, at) => number !== at + 1))
    problems.push({
      where: '/teaching/betterPlayersFirst',
      found: JSON.stringify(betterPlayersFirst),
      expected: `each number from 1 to ${pupils.length} once`,
      remedy: 'Name every instructor once.',
    });
  return problems;
}

function thresholdProblems({ strike }: Recipe): RecipeProblem[] {
  const { thresholds = [] } = strike.rating;
  return thresholds.flatMap((threshold, at) =>
    at === 0 || threshold > thresholds[at - 1]!
      ? []
      : [
          {
            where: `/strike/rating/thresholds/${at}`,
            found: String(threshold),
            expected: `a number above the one before, ${thresholds[at - 1]}`,
            remedy: 'Put the thresholds in order.',
          },
        ],
  );
}

function curveProblems({ curves = {} }: Recipe): RecipeProblem[] {
  return CURVE_QUANTITIES.flatMap((quantity) => {
    const curve = curves[quantity];
    if (curve === undefined) return [];
    const at = curve.through.map(({ pct }) => pct);
    const path = `/curves/${quantity}`;
    const problems: RecipeProblem[] = [];
    if (at[0] !== 0 || at.at(-1) !== 100 || at.some((pct, i) => i > 0 && pct <= at[i - 1]!))
      problems.push({
        where: `${path}/through`,
        found: `points at ${at.join(', ')} %`,
        expected: 'points in order, the first at 0 and the last at 100',
        remedy: 'Put them in order from the top to impact.',
      });
    const { window } = curve;
    if (window !== undefined && window.fromPct >= window.toPct)
      problems.push({
        where: `${path}/window`,
        found: `from ${window.fromPct} to ${window.toPct} %`,
        expected: 'the smaller number first',
        remedy: 'Exchange the two.',
      });
    const inside = at.find((pct) => window !== undefined && pct > window.fromPct && pct < window.toPct);
    if (inside !== undefined)
      problems.push({
        where: `${path}/window`,
        found: `a window over the point at ${inside} %`,
        expected:
          'no point of /through inside: its value stands in the table, which the window must not change',
        remedy: 'Move the window or the point.',
      });
    return problems;
  });
}
