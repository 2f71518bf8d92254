import { unequalSpreadDifference } from '../../../stats/index.ts';
import type { Sensitivity } from '../../finding.ts';
import { verdictOf } from '../../shared/standing.ts';
import { amount, figure, listSome, percent } from '../../shared/words.ts';
import { fitChangeScores } from '../analysis/conditional-model.ts';
import { golferMeans } from '../analysis/golfer-means.ts';
import { comparedRows } from '../analysis/main-analysis.ts';
import { meanEffect } from '../analysis/main-golfer-means.ts';
import { FAR, farSwings, swingsIn } from './far-swings.ts';
import { deleteGolfers } from './leave-one-out.ts';
import {
  effectUnder,
  entry,
  estimateOf,
  type SensitivityRequest,
  sameOrNot,
  verdictUnder,
} from './sensitivity-entry.ts';

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
  const all = new Set(comparedRows(request.rows, design).map((row) => row.golfer)).size;
  if (whole.size === all || whole.size === 0) return null;
  const effect =
    design.control === null
      ? meanEffect(
          pairs.filter((pair) => pair.arm === request.arm).map((pair) => pair.after - pair.before),
          level,
        )
      : effectUnder(
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
  const compared = comparedRows(request.rows, request.main.design);
  const far = farSwings(compared);
  if (far === null || far.ids.length === 0) return null;
  const { ids, rest } = far;
  return entry(
    request,
    'without far swings',
    `Without the ${ids.length} of ${swingsIn(compared)} swings that lie more than ${FAR} robust SDs (pooled over golfers) from the middle of the golfer's swings in the phase.`,
    effectUnder(
      request,
      request.rows.flatMap((row) => (rest.has(row) ? (rest.get(row) ?? []) : [row])),
    ),
    () => `Left out here only: ${listSome(ids)}.`,
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

function pairsOf(request: SensitivityRequest) {
  const compared = comparedRows(request.rows, request.main.design);
  const means = golferMeans(compared, (row) => row.phase);
  const armOf = new Map(compared.map((row) => [row.golfer, row.arm]));
  return [...means].flatMap(([golfer, own]) => {
    const before = own.get('baseline')?.mean;
    const after = own.get('post')?.mean;
    if (before === undefined || after === undefined) return [];
    return [{ golfer, arm: armOf.get(golfer)!, before, after }];
  });
}
