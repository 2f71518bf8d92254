import { moments, pureBetweenSd, typicalErrorOfChanges } from '../../../stats/index.ts';
import type { Resolution } from '../../shared/smallest-change.ts';
import type { Design } from '../input/design.ts';
import type { SwingGroup } from '../input/trial-data.ts';
import { golferMeans } from './golfer-means.ts';
import { comparedRows } from './main-analysis.ts';
import type { Noise } from './noise.ts';

const ENOUGH_CONTROLS = 6;

/**
 * The typical error of a golfer's phase mean: from the changes of golfers in the control where there are at least
 * six of them (SD of changes / root 2, Hopkins 2000), which includes the day-to-day part; else from the spread of
 * swings, and of sessions where a phase has several.
 */
export function measureResolution(rows: readonly SwingGroup[], design: Design, noise: Noise): Resolution {
  const compared =
    design.kind === 'crossover' ? rows.filter((row) => row.task === 'full') : comparedRows(rows, design);
  const means = golferMeans(compared, (row) => `${row.phase} ${row.period}`);
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
          noise.swing ** 2 / average((cell) => cell.count) +
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
