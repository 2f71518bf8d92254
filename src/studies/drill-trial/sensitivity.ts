import { median, robustDistances, unequalSpreadDifference } from '../../stats/index.ts';
import type { FindingEstimate, Sensitivity, SmallestChange } from '../finding.ts';
import { fitChangeScores } from './conditional-model.ts';
import { type Effect, NO_EFFECT } from './effect.ts';
import { golferMeans } from './golfer-means.ts';
import { analyseMain, type MainRequest, mainRows } from './main-analysis.ts';
import { meanEffect } from './main-groups.ts';
import type { TrialRow } from './trial-data.ts';
import { verdictOf } from './verdict.ts';
import { amount, decimalsToShow, figure, list, percent } from './words.ts';

export interface SensitivityRequest {
  readonly rows: readonly TrialRow[];
  readonly main: MainRequest;
  readonly arm: string;
  readonly effect: Effect;
  readonly smallest: SmallestChange | null;
  readonly unit: string;
  readonly decimals: number;
}

/** Robust SDs beyond which a swing counts as far from its golfer's others (Iglewicz and Hoaglin 1993). */
const FAR = 3.5;

/** The same question asked in other reasonable ways, and whether the verdict survives. */
export function analyseSensitivity(request: SensitivityRequest): Sensitivity[] {
  if (request.effect.value === null || request.effect.interval === null) return [];
  return [
    deleteGolfers(request),
    changeScores(request),
    unequalSpreads(request),
    completeCases(request),
    withoutFarSwings(request),
    ...otherSmallestChanges(request),
  ].filter((entry) => entry !== null);
}

/**
 * Each golfer's deletion is a full refit of estimate and standard error. For speed the interval of a scan takes its
 * width per standard error from the main fit; the refit that is shown has its own small-sample interval.
 */
function deleteGolfers(request: SensitivityRequest): Sensitivity | null {
  const golfers = [...new Set(mainRows(request.rows, request.main.design).map((row) => row.golfer))].sort();
  if (golfers.length < 4) return null;
  const scan: SensitivityRequest = { ...request, main: { ...request.main, degreesOfFreedom: 'normal' } };
  const width = widthPerError(request.effect, effectOf(scan, scan.rows));
  if (width === null) return null;
  const verdict = verdictUnder(request, request.effect);
  let most: { golfer: string; move: number } | null = null;
  const changed: string[] = [];
  let unfitted = 0;
  for (const golfer of golfers) {
    const { value, standardError } = effectOf(scan, without(request.rows, golfer));
    if (value === null || standardError === null) {
      unfitted += 1;
      continue;
    }
    const interval = [value - width * standardError, value + width * standardError] as const;
    if (request.smallest !== null && verdictOf(interval, request.smallest) !== verdict) changed.push(golfer);
    const move = value - request.effect.value!;
    if (most === null || Math.abs(move) > Math.abs(most.move)) most = { golfer, move };
  }
  if (most === null) return null;
  const { golfer, move } = most;
  const verdicts =
    changed.length === 0
      ? 'No single golfer changes the verdict.'
      : changed.length <= 5
        ? `The verdict changes without ${list(changed)}${changed.length === 1 ? '' : ', each on their own'}.`
        : `The verdict changes without any one of ${changed.length} of the ${golfers.length} golfers: it stands on the border.`;
  const failed = unfitted === 0 ? '' : ` The model could not be refitted without ${unfitted} of them.`;
  return entry(
    request,
    'leave one golfer out',
    `Refitted ${golfers.length - unfitted} times, each time without one golfer; shown is the refit that moves the estimate most.`,
    effectOf(request, without(request.rows, golfer)),
    (decimals) =>
      `The golfer who moves the estimate most is ${golfer}: without ${golfer} it moves by ${amount(move, request.unit, decimals)}. ${verdicts}${failed}`,
  );
}

function without(rows: readonly TrialRow[], golfer: string): TrialRow[] {
  return rows.filter((row) => row.golfer !== golfer);
}

function widthPerError(main: Effect, plain: Effect): number | null {
  if (main.interval === null || plain.standardError === null) return null;
  return (main.interval[1] - main.interval[0]) / 2 / plain.standardError;
}

function changeScores(request: SensitivityRequest): Sensitivity | null {
  const { design, level } = request.main;
  if (design.control === null || design.kind !== 'parallel') return null;
  const pairs = pairsOf(request);
  const present = design.drills.filter((arm) => pairs.some((pair) => pair.arm === arm));
  if (pairs.length < present.length + 2 || !pairs.some((pair) => pair.arm === design.control)) return null;
  const fitted = fitChangeScores(pairs, design.control, present, level);
  if (typeof fitted === 'string') return null;
  return entry(
    request,
    'change scores',
    "Each golfer's change (mean after minus mean before), compared between the arms without adjusting for the start.",
    fitted.effect(request.arm),
    () => 'A difference from the main answer shows how much the arms differed at the start.',
  );
}

function unequalSpreads(request: SensitivityRequest): Sensitivity | null {
  const { design, level } = request.main;
  if (design.control === null || design.kind !== 'parallel') return null;
  const pairs = pairsOf(request);
  const of = (arm: string) =>
    pairs.filter((pair) => pair.arm === arm).map((pair) => pair.after - pair.before);
  const welch = unequalSpreadDifference(of(request.arm), of(design.control), level);
  if (welch === null) return null;
  return entry(
    request,
    'change scores, spreads not taken as equal',
    "Golfers' changes compared by a difference of means that lets each arm have its own spread (Welch).",
    { ...welch, value: welch.difference },
    () => 'It guards against one arm reacting more unevenly than the other.',
  );
}

function completeCases(request: SensitivityRequest): Sensitivity | null {
  const { design, level } = request.main;
  if (design.kind === 'stepped-start' || design.kind === 'crossover') return null;
  const pairs = pairsOf(request);
  const whole = new Set(pairs.map((pair) => pair.golfer));
  const all = new Set(mainRows(request.rows, design).map((row) => row.golfer)).size;
  if (whole.size === all || whole.size === 0) return null;
  const effect =
    design.control === null
      ? meanEffect(
          pairs.filter((pair) => pair.arm === request.arm).map((pair) => pair.after - pair.before),
          level,
        )
      : effectOf(
          request,
          request.rows.filter((row) => whole.has(row.golfer)),
        );
  return entry(
    request,
    'complete cases',
    `Only the ${whole.size} of ${all} golfers who were measured both before and after.`,
    effect,
    () => 'A large difference from the main answer would mean that those who left matter to it.',
  );
}

function withoutFarSwings(request: SensitivityRequest): Sensitivity | null {
  const compared = mainRows(request.rows, request.main.design);
  const groups = new Map<string, TrialRow[]>();
  for (const row of compared) {
    const key = JSON.stringify([row.golfer, row.phase, row.period]);
    groups.set(key, [...(groups.get(key) ?? []), row]);
  }
  const residuals = [...groups.values()]
    .filter((own) => own.length >= 3)
    .flatMap((own) => {
      const centre = median(own.map((row) => row.value))!;
      return own.map((row) => ({ swing: row.swing, value: row.value - centre }));
    });
  const distances = robustDistances(residuals.map((residual) => residual.value)) ?? [];
  const far = residuals.filter((_, i) => Math.abs(distances[i] ?? 0) > FAR).map((residual) => residual.swing);
  if (far.length === 0) return null;
  const left = new Set(far);
  return entry(
    request,
    'without far swings',
    `Without the ${far.length} of ${compared.length} swings that lie more than ${FAR} robust SDs (pooled over golfers) from the middle of the golfer's swings in the phase.`,
    effectOf(
      request,
      request.rows.filter((row) => !left.has(row.swing)),
    ),
    () => `Left out here only: ${list(far.sort())}.`,
  );
}

function otherSmallestChanges(request: SensitivityRequest): Sensitivity[] {
  const { smallest, effect } = request;
  if (smallest === null) return [];
  return [0.5, 1.5].map((factor) => {
    const other = { ...smallest, value: factor * smallest.value };
    const verdict = verdictOf(effect.interval, other);
    return {
      name: `smallest change of ${amount(other.value, smallest.unit, request.decimals + 1)}`,
      what: `The same estimate against a smallest change that is ${percent(factor)} of the one used.`,
      estimate: estimateOf(
        request,
        `smallest change x ${figure(factor, 1)}`,
        effect,
        'The main estimate, unchanged.',
      ),
      verdict,
      words: sameOrNot(verdict, verdictUnder(request, effect)),
    };
  });
}

function entry(
  request: SensitivityRequest,
  name: string,
  what: string,
  effect: Effect,
  say: (decimals: number) => string,
): Sensitivity {
  const verdict = verdictUnder(request, effect);
  const decimals = decimalsToShow(effect.interval, null, request.decimals);
  const size =
    effect.value === null
      ? 'It could not be estimated this way.'
      : `It gives ${amount(effect.value, request.unit, decimals)}${
          effect.interval === null
            ? ''
            : ` (${percent(request.main.level, 1)} interval ${figure(effect.interval[0], decimals)} to ${figure(effect.interval[1], decimals)})`
        }.`;
  return {
    name,
    what,
    estimate: effect.value === null ? null : estimateOf(request, name, effect, what),
    verdict,
    words: `${size} ${sameOrNot(verdict, verdictUnder(request, request.effect))} ${say(decimals)}`,
  };
}

function estimateOf(
  request: SensitivityRequest,
  name: string,
  effect: Effect,
  meaning: string,
): FindingEstimate {
  return {
    name,
    value: effect.value,
    interval: effect.interval ?? [null, null],
    level: request.main.level,
    unit: request.unit,
    degreesOfFreedom: effect.degreesOfFreedom,
    meaning,
  };
}

function sameOrNot(verdict: string, main: string): string {
  return verdict === main ? 'The verdict is the same.' : `The verdict would be '${verdict}'.`;
}

function verdictUnder(request: SensitivityRequest, effect: Effect) {
  return request.smallest === null ? 'cannot-tell' : verdictOf(effect.interval, request.smallest);
}

function effectOf(request: SensitivityRequest, rows: readonly TrialRow[]): Effect {
  return analyseMain(rows, request.main).effects.get(request.arm) ?? NO_EFFECT;
}

function pairsOf(request: SensitivityRequest) {
  const compared = mainRows(request.rows, request.main.design);
  const means = golferMeans(compared.map((row) => ({ ...row, cell: row.phase })));
  const armOf = new Map(compared.map((row) => [row.golfer, row.arm]));
  return [...means].flatMap(([golfer, own]) => {
    const before = own.get('baseline')?.mean;
    const after = own.get('post')?.mean;
    if (before === undefined || after === undefined) return [];
    return [{ golfer, arm: armOf.get(golfer)!, before, after }];
  });
}
