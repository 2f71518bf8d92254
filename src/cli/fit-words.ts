import type { FitResult, FixedEstimate, Model } from '../stats/index.ts';
import { withinLine } from './terminal-text.ts';

const DIGITS = 6;

/** A fit for people: what each term comes to, how far golfers (or whatever the groups are) differ, what to mind. */
export function fitInWords(model: Model, result: FitResult): string {
  const { boundary, notes } = result.diagnosis;
  return [
    ...[[overview(result)], terms(model, result), thresholds(result), spread(model, result)]
      .filter((block) => block.length > 0)
      .flatMap((block, index) => (index === 0 ? block : ['', ...block])),
    ...(boundary.length + notes.length === 0 ? [] : ['', ...boundary, ...notes]),
  ]
    .map(withinLine)
    .join('\n');
}

function overview({ observations, groups, leftOut }: FitResult): string {
  const levels = Object.entries(groups).map(([group, count]) => `${count} levels of ${group}`);
  return `${[`${observations} observations`, ...levels].join(', ')}${leftOut.length === 0 ? '' : `; ${leftOut.length} rows left out`}.`;
}

/** What one unit more of a term does, and on which scale the numbers are. */
const SCALES = {
  normal: { scale: '', multiplies: null },
  binary: { scale: ', in log odds', multiplies: 'the odds' },
  ordinal: { scale: ', in log odds of a higher rating', multiplies: 'the odds of a higher rating' },
  count: { scale: ', in logarithms of the count', multiplies: 'the count' },
} as const;

function terms({ distribution = 'normal' }: Model, { fixed }: FitResult): string[] {
  if (fixed.length === 0) return [];
  const { scale, multiplies } = SCALES[distribution];
  return [
    `Each term, with its interval${scale}:`,
    ...fixed.map((estimate) => `  ${termLine(estimate, multiplies)}`),
  ];
}

function termLine(
  { term, estimate, interval, standardError, degreesOfFreedom }: FixedEstimate,
  multiplies: string | null,
): string {
  const degrees = degreesOfFreedom === null ? '' : `, ${show(degreesOfFreedom)} degrees of freedom`;
  const times =
    multiplies === null || term === 'intercept'
      ? ''
      : `; multiplies ${multiplies} by ${show(Math.exp(estimate), 3)} (${show(Math.exp(interval[0]), 3)} to ${show(Math.exp(interval[1]), 3)})`;
  return `${term}: ${show(estimate)} (${show(interval[0])} to ${show(interval[1])}); standard error ${show(standardError)}${degrees}${times}`;
}

function thresholds(result: FitResult): string[] {
  if (result.thresholds === undefined) return [];
  return [
    'Thresholds between neighbouring ratings, in log odds:',
    ...result.thresholds.map(
      ({ between, estimate, standardError }) =>
        `  ${between}: ${show(estimate)}; standard error ${show(standardError)}`,
    ),
  ];
}

function spread({ distribution = 'normal' }: Model, result: FitResult): string[] {
  const lines = [
    ...result.random.flatMap(({ group, effects, sd, correlation }) =>
      effects.map((effect, index) => {
        const others = effects
          .slice(0, index)
          .map((other, before) => `${show(correlation[index]![before]!, 3)} with ${other}`);
        return `  ${effect} between levels of ${group}: SD ${show(sd[index]!)}${others.length === 0 ? '' : `; correlation ${others.join(', ')}`}`;
      }),
    ),
    ...(distribution === 'normal' ? [`  what is left: SD ${show(result.residualSd)}`] : []),
    ...(result.residualParameters ?? []).map(
      ({ parameter, estimate, interval }) =>
        `  ${parameter}: ${show(estimate)}${interval === null ? '' : ` (${show(interval[0])} to ${show(interval[1])})`}`,
    ),
    ...(result.predictorError === undefined
      ? []
      : [
          `  ${result.predictorError.column}: ${show(100 * result.predictorError.reliability, 3)} % of its variance inside a group is true, the rest measurement error; the terms are corrected for it`,
        ]),
  ];
  return lines.length === 0 ? [] : ['Spread:', ...lines];
}

function show(value: number, digits = DIGITS): string {
  return String(Number(value.toPrecision(digits)));
}
