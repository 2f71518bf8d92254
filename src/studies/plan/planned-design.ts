import type { DataColumns, Model, Truth } from '../../stats/index.ts';
import { cellModel, effectName, type SmallSample } from '../drill-trial/analysis/cell-model.ts';
import { crossoverModel, SECOND } from '../drill-trial/analysis/main-crossover.ts';

/** How golfers would come to the arms. */
export type PlannedKind = 'parallel' | 'crossover' | 'before-after' | 'after-only';

/** SDs of what a value is made of, in the unit of the metric. */
export interface Spread {
  readonly golferSd: number;
  /** Of golfers' own changes without the drill. */
  readonly changeSd: number;
  /** Of what golfers get out of the drill. */
  readonly responseSd: number;
  readonly sessionSd: number;
  readonly swingSd: number;
}

/** A study of a certain size. */
export interface DesignPoint {
  readonly kind: PlannedKind;
  /** In all, at the start. */
  readonly golfers: number;
  /** Of each golfer, in each phase (in a crossover: in each period). */
  readonly sessions: number;
  /** Full swings in each session. */
  readonly swings: number;
  /** Share of the golfers in the control; only parallel groups have one. */
  readonly controlShare: number;
  /** Share of the golfers of each arm that is measured at the start only. */
  readonly leaving: number;
}

export interface Analysis {
  readonly level: number;
  readonly degreesOfFreedom: Exclude<SmallSample, 'normal'>;
}

/** A design ready to be drawn: the model that will be used, the rows it will have, and what they are drawn from. */
export interface DrawableDesign {
  readonly model: Model;
  readonly data: DataColumns;
  readonly truth: Truth;
  /** The fixed term that answers the question. */
  readonly term: string;
}

const DRILL = 'drill';
const CONTROL = 'control';
const OUTCOME = 'value';

/**
 * The main model of the drill trial and the rows of a study of this size. A golfer's level before has variance
 * `golferSd`^2; after, that and the variance of golfers' changes, `changeSd`^2 + share x `responseSd`^2, where share is
 * the part of the golfers who do the drill: the model has one variance for all arms, so responses are spread over them.
 * With one session in a phase, what that day did cannot be told from the golfer's level and is part of it.
 */
export function drawableDesign(point: DesignPoint, spread: Spread, analysis: Analysis): DrawableDesign {
  return point.kind === 'crossover' ? crossover(point, spread, analysis) : phases(point, spread, analysis);
}

interface Row {
  readonly golfer: string;
  readonly session: string;
  readonly cell: string;
  readonly arm: string;
}

/** Golfers of each arm, and how many of them stay. */
function armsOf({ kind, golfers, controlShare, leaving }: DesignPoint) {
  const control = kind === 'parallel' || kind === 'after-only' ? Math.round(golfers * controlShare) : 0;
  const sizes = [
    { arm: CONTROL, size: control },
    { arm: DRILL, size: golfers - control },
  ];
  return sizes.map(({ arm, size }) => ({ arm, size, staying: size - Math.round(size * leaving) }));
}

/** Golfers in all who have every phase: what the comparison rests on. */
export function golfersStaying(point: DesignPoint): number {
  return armsOf(point).reduce((sum, { staying }) => sum + staying, 0);
}

function rowsOf(point: DesignPoint, cells: readonly string[]): Row[] {
  return armsOf(point).flatMap(({ arm, size, staying }) =>
    Array.from({ length: size }, (_, g) => g).flatMap((g) =>
      cells
        .filter((_, c) => c === 0 || g < staying)
        .flatMap((cell) =>
          Array.from({ length: point.sessions }, (_, s) => s).flatMap((s) => {
            const golfer = `${arm} ${g}`;
            const row = { golfer, session: `${golfer} ${cell} ${s}`, cell, arm };
            return Array.from({ length: point.swings }, () => row);
          }),
        ),
    ),
  );
}

function phases(point: DesignPoint, spread: Spread, { level, degreesOfFreedom }: Analysis): DrawableDesign {
  const { golferSd, changeSd, responseSd, sessionSd, swingSd } = spread;
  const cells = point.kind === 'after-only' ? ['post'] : ['baseline', 'post'];
  const rows = rowsOf(point, cells);
  const controlled = point.kind !== 'before-after';
  const effects = controlled ? [{ arm: DRILL, cell: 'post' }] : [];
  const sessions = point.sessions > 1;
  const drillShare = 1 - armsOf(point)[0]!.size / point.golfers;
  const change = changeSd ** 2 + drillShare * responseSd ** 2;
  const day = sessions ? 0 : sessionSd ** 2;
  const before = Math.sqrt(golferSd ** 2 + day);
  const after = Math.sqrt(golferSd ** 2 + change + day);
  const together = before * after === 0 ? 0 : golferSd ** 2 / (before * after);
  const golfer =
    cells.length === 1
      ? { sd: [after] }
      : {
          sd: [before, after],
          correlation: [
            [1, together],
            [together, 1],
          ],
        };
  const columns: Record<string, (number | string)[]> = {
    golfer_id: rows.map((row) => row.golfer),
    session_id: rows.map((row) => row.session),
  };
  for (const cell of cells) columns[cell] = rows.map((row) => Number(row.cell === cell));
  for (const { arm, cell } of effects)
    columns[effectName(arm, cell)] = rows.map((row) => Number(row.arm === arm && row.cell === cell));
  return {
    model: cellModel({ outcome: OUTCOME, cells, effects, sessions, level, degreesOfFreedom }),
    data: columns,
    truth: {
      fixed: {},
      random: [golfer, ...(sessions ? [{ sd: [sessionSd] }] : [])],
      residualSd: swingSd,
    },
    term: controlled ? effectName(DRILL, 'post') : 'post',
  };
}

/** Both orders alike; a golfer's period has the variance of changes, the day's with one session in it. */
function crossover(
  point: DesignPoint,
  { golferSd, changeSd, responseSd, sessionSd, swingSd }: Spread,
  { level, degreesOfFreedom }: Analysis,
): DrawableDesign {
  const sessions = point.sessions > 1;
  const rows = rowsOf({ ...point, kind: 'before-after' }, ['period 1', 'period 2']);
  const drillIn = (golfer: string) => (Number(golfer.split(' ').at(-1)) % 2 === 0 ? 'period 1' : 'period 2');
  const period = Math.sqrt((changeSd ** 2 + responseSd ** 2 / 2) / 2 + (sessions ? 0 : sessionSd ** 2));
  return {
    model: crossoverModel(OUTCOME, true, sessions, level, degreesOfFreedom),
    data: {
      golfer_id: rows.map((row) => row.golfer),
      period: rows.map((row) => row.cell),
      session_id: rows.map((row) => row.session),
      [SECOND]: rows.map((row) => Number(row.cell === 'period 2')),
      drill: rows.map((row) => Number(row.cell === drillIn(row.golfer))),
    },
    truth: {
      fixed: {},
      random: [{ sd: [golferSd] }, { sd: [period] }, ...(sessions ? [{ sd: [sessionSd] }] : [])],
      residualSd: swingSd,
    },
    term: 'drill',
  };
}
