import type { Stream } from '../../../numerics/index.ts';
import type { Design } from '../../drill-trial/input/design.ts';
import { groupsOfSwings, type SingleSwing } from '../../drill-trial/input/swing-groups.ts';
import type { Phase, SwingGroup } from '../../drill-trial/input/trial-data.ts';

/** A trial of known truth: how golfers come to the drill, and SDs of what a value is made of; all in degrees. */
export interface PlantedTrial {
  readonly kind: 'parallel' | 'crossover' | 'stepped-start' | 'before-after';
  /** In all. */
  readonly golfers: number;
  /** Of each golfer, in each phase or wave. */
  readonly sessions: number;
  readonly swings: number;
  /** Of the drill on the average golfer, and the share of it that is left at retention. */
  readonly effect: number;
  readonly retained?: number;
  /** SD of golfers' responses to the drill. */
  readonly responseSd: number;
  /** What passes with time for everybody from the first phase or wave to the last, and SD of golfers' own. */
  readonly practice: number;
  readonly practiceSd: number;
  readonly sessionSd: number;
  readonly swingSd: number;
  /** Golfers whose mean before the drill is in the lowest part leave more often: their chance, and everybody's. */
  readonly leaving?: number;
}

export interface DrawnTrial {
  readonly design: Design;
  readonly rows: readonly SwingGroup[];
  /** By golfer, the own change from before to after that lasts: day and measurement aside. */
  readonly changes: ReadonlyMap<string, number>;
  /** The same between the days on which the golfer came, what those days did included. */
  readonly betweenDays: ReadonlyMap<string, number>;
}

const GOLFER_SD = 4;
const WAVES = 6;
const STARTS_AFTER = [1, 2, 3, 4] as const;
const DRILL = 'drill';
const CONTROL = 'control';

/** Draws a trial. Rows are drawn straight from the sum of their parts, which is cheap; nothing is missing but by leaving. */
export function plantedTrial(planted: PlantedTrial, stream: Stream): DrawnTrial {
  const names = Array.from({ length: planted.golfers }, (_, i) => `G${String(i + 1).padStart(2, '0')}`);
  const shuffled = stream.shuffle(names);
  const place = new Map(shuffled.map((name, i) => [name, i]));
  const rows: SingleSwing[] = [];
  const changes = new Map<string, number>();
  const betweenDays = new Map<string, number>();
  const periods = new Map<string, readonly { readonly arm: string; readonly from: string }[]>();
  for (const golfer of names) {
    const at = place.get(golfer)!;
    const own = {
      level: 5 + GOLFER_SD * stream.normal(),
      response: planted.effect + planted.responseSd * stream.normal(),
      practice: planted.practice + planted.practiceSd * stream.normal(),
    };
    const { visits, arms, change } = pathOf(planted, at, own);
    periods.set(golfer, arms);
    changes.set(golfer, change);
    const leaves =
      planted.leaving !== undefined && stream.uniform() < (own.level < 5 ? 1.5 : 0.5) * planted.leaving;
    let days = 0;
    for (const { visit, date, phase, arm, period, mean } of visits) {
      if (leaves && phase !== 'baseline') continue;
      for (let s = 0; s < planted.sessions; s++) {
        const session = `${golfer}-${visit}-${s}`;
        const day = planted.sessionSd * stream.normal();
        const level = own.level + mean + day;
        days += dayWeight(planted.kind, phase, arm) * (day / planted.sessions);
        for (let k = 0; k < planted.swings; k++)
          rows.push({
            swing: `${session}-${k}`,
            session,
            golfer,
            date,
            phase,
            task: 'full',
            value: level + planted.swingSd * stream.normal(),
            arm,
            period,
          });
      }
    }
    betweenDays.set(golfer, change + days);
  }
  const control = planted.kind === 'parallel' || planted.kind === 'crossover' ? CONTROL : null;
  return {
    design: {
      kind: planted.kind,
      trial: 'T1',
      control,
      drills: [DRILL],
      periods,
      otherArms: [],
      warnings: [],
    },
    rows: groupsOfSwings(rows),
    changes,
    betweenDays,
  };
}

interface PlannedVisit {
  readonly visit: string;
  readonly date: string;
  readonly phase: Phase;
  readonly arm: string;
  readonly period: number;
  /** What the visit is above the golfer's level. */
  readonly mean: number;
}

interface GolferPath {
  readonly visits: readonly PlannedVisit[];
  readonly arms: readonly { readonly arm: string; readonly from: string }[];
  readonly change: number;
}

function pathOf(
  { kind, retained }: PlantedTrial,
  at: number,
  { response, practice }: { readonly response: number; readonly practice: number },
): GolferPath {
  if (kind === 'stepped-start') {
    const start = STARTS_AFTER[at % STARTS_AFTER.length]!;
    const visits = Array.from({ length: WAVES }, (_, wave): PlannedVisit => {
      const after = wave >= start;
      return {
        visit: `${wave}`,
        date: dayOf(28 * wave),
        phase: after ? 'post' : 'baseline',
        arm: DRILL,
        period: 1,
        mean: (practice * wave) / (WAVES - 1) + (after ? response : 0),
      };
    });
    return { visits, arms: [{ arm: DRILL, from: dayOf(28 * (start - 1) + 1) }], change: response };
  }
  if (kind === 'crossover') {
    const order = at % 2 === 0 ? [DRILL, CONTROL] : [CONTROL, DRILL];
    return {
      visits: order.map((arm, k) => ({
        visit: `${k}`,
        date: dayOf(40 + 60 * k),
        phase: 'post' as const,
        arm,
        period: k + 1,
        mean: practice * k + (arm === DRILL ? response : 0),
      })),
      arms: order.map((arm, k) => ({ arm, from: dayOf(1 + 60 * k) })),
      change: response,
    };
  }
  const arm = kind === 'before-after' || at % 2 === 0 ? DRILL : CONTROL;
  const moved = practice + (arm === DRILL ? response : 0);
  const kept = practice + (arm === DRILL ? (retained ?? 0) * response : 0);
  const visit = (phase: 'baseline' | 'post' | 'retention', day: number, mean: number): PlannedVisit => ({
    visit: phase,
    date: dayOf(day),
    phase,
    arm,
    period: 1,
    mean,
  });
  return {
    visits: [
      visit('baseline', 0, 0),
      visit('post', 42, moved),
      ...(retained === undefined ? [] : [visit('retention', 77, kept)]),
    ],
    arms: [{ arm, from: dayOf(1) }],
    change: moved,
  };
}

/** How a day counts in a golfer's change: after less before, or drill less control. */
function dayWeight(kind: PlantedTrial['kind'], phase: Phase, arm: string): number {
  if (kind === 'crossover') return arm === DRILL ? 1 : -1;
  return phase === 'post' ? 1 : phase === 'baseline' ? -1 : 0;
}

function dayOf(day: number): string {
  return new Date(Date.UTC(2026, 0, 1 + day)).toISOString().slice(0, 10);
}
