import type { Plan } from '../../../dataset/index.ts';
import { moments, pureBetweenSd, typicalErrorOfChanges } from '../../../stats/index.ts';
import type { SmallestChange } from '../../finding.ts';
import type { Design } from '../input/design.ts';
import type { TrialMetric, TrialRow } from '../input/trial-data.ts';
import { amount } from '../wording/words.ts';
import { golferMeans } from './golfer-means.ts';
import { comparedRows } from './main-analysis.ts';
import type { Noise } from './noise.ts';

/** How noisy a golfer's mean in one phase is, and how much golfers truly differ at baseline. */
export interface Resolution {
  /** SD of a golfer's phase mean around the golfer's own level; null where nothing tells. */
  readonly typicalError: number | null;
  /** How it was got, in words. */
  readonly from: string;
  /** SD between golfers of an arm at baseline (after the drill where none was measured), noise taken out. */
  readonly betweenSd: number | null;
  readonly atBaseline: boolean;
}

const ENOUGH_CONTROLS = 6;

/**
 * The typical error of a golfer's phase mean: from the changes of golfers in the control where there are at least
 * six of them (SD of changes / root 2, Hopkins 2000), which includes the day-to-day part; else from the spread of
 * swings, and of sessions where a phase has several.
 */
export function measureResolution(rows: readonly TrialRow[], design: Design, noise: Noise): Resolution {
  const compared =
    design.kind === 'crossover' ? rows.filter((row) => row.task === 'full') : comparedRows(rows, design);
  const means = golferMeans(compared.map((row) => ({ ...row, cell: `${row.phase} ${row.period}` })));
  const armOf = new Map(compared.map((row) => [row.golfer, row.arm]));
  const idle = [...means].flatMap(([golfer, own]) => {
    const before = own.get('baseline 1');
    const after = own.get('post 1');
    const isIdle = design.kind === 'parallel' && armOf.get(golfer) === design.control;
    return isIdle && before !== undefined && after !== undefined ? [after.mean - before.mean] : [];
  });
  const hasBaseline = [...means.values()].some((own) => own.has('baseline 1'));
  const starts = [...means].flatMap(([golfer, own]) => {
    const cell = own.get(hasBaseline ? 'baseline 1' : 'post 1');
    return cell === undefined ? [] : [{ ...cell, arm: armOf.get(golfer)! }];
  });
  const fromChanges = idle.length >= ENOUGH_CONTROLS ? typicalErrorOfChanges(idle) : null;
  const average = (pick: (cell: (typeof starts)[number]) => number) =>
    starts.length === 0 ? 1 : starts.reduce((sum, cell) => sum + pick(cell), 0) / starts.length;
  const fromParts =
    noise.swing === null
      ? null
      : Math.sqrt(
          noise.swing ** 2 / average((cell) => cell.values.length) +
            (noise.session === null ? 0 : noise.session ** 2 / average((cell) => cell.sessions)),
        );
  const typicalError = fromChanges ?? fromParts;
  const observed = spreadWithinArms(starts);
  return {
    typicalError,
    from:
      fromChanges !== null
        ? `from the changes of the ${idle.length} golfers in the control`
        : fromParts === null
          ? 'not known: each golfer has one value in a phase and there are too few controls'
          : `from the spread of ${noise.session === null ? 'swings; day-to-day differences could not be separated and are not in it' : 'swings and sessions'}`,
    atBaseline: hasBaseline,
    betweenSd: observed === null ? null : pureBetweenSd(observed, (typicalError ?? 0) ** 2),
  };
}

function spreadWithinArms(starts: readonly { readonly arm: string; readonly mean: number }[]): number | null {
  let squares = 0;
  let df = 0;
  for (const arm of new Set(starts.map((cell) => cell.arm))) {
    const own = moments(starts.filter((cell) => cell.arm === arm).map((cell) => cell.mean));
    if (own === null || own.sd === null) continue;
    squares += own.sd ** 2 * (own.n - 1);
    df += own.n - 1;
  }
  return df === 0 ? null : Math.sqrt(squares / df);
}

/**
 * The smallest change that matters: the plan's, or by default the larger of 0.2 x the SD between golfers (noise
 * taken out; Hopkins 2004, Sportscience 8:1-7) and the typical error of a golfer's phase mean, since less than that
 * cannot be seen in a golfer. Null where neither is known.
 */
export function smallestChange(
  metric: TrialMetric,
  planned: Plan['smallestChangeThatMatters'] | null,
  resolution: Resolution,
): { readonly smallest: SmallestChange | null; readonly cautions: readonly string[] } {
  const { unit, goodDirection } = metric;
  const { typicalError, betweenSd, atBaseline } = resolution;
  const show = (value: number) => amount(value, unit, metric.decimals);
  if (planned !== null && planned !== undefined) {
    const cautions =
      typicalError !== null && planned.value < typicalError
        ? [
            `The plan's smallest change that matters, ${show(planned.value)}, is less than what the measurement resolves in one golfer: the typical error of a golfer's mean in a phase is ${show(typicalError)} (${resolution.from}). The comparison of groups stands; a single golfer's change of that size cannot be told from noise.`,
          ]
        : [];
    const why = `Stated in the plan: ${planned.why}`;
    return { smallest: { value: planned.value, unit, from: 'plan', why, goodDirection }, cautions };
  }
  const fifth = betweenSd === null ? null : 0.2 * betweenSd;
  const value = Math.max(fifth ?? 0, typicalError ?? 0);
  if (!(value > 0)) return { smallest: null, cautions: [] };
  const parts = [
    fifth === null
      ? null
      : `0.2 x the SD between golfers ${atBaseline ? 'at the start' : 'of an arm'} (${show(fifth)})`,
    typicalError === null
      ? null
      : `the typical error of one golfer's mean in a phase (${show(typicalError)}, ${resolution.from}), below which a change cannot be seen in a golfer`,
  ].filter((part) => part !== null);
  const why = `No plan states one, so the default was taken: ${parts.length === 2 ? `the larger of ${parts.join(' and ')}` : parts[0]}. A coach who knows what matters should state it in a plan before the data come in.`;
  return { smallest: { value, unit, from: 'default', why, goodDirection }, cautions: [] };
}
