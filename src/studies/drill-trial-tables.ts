/** What the drill-trial page is drawn from. All values are in the metric's unit unless the name says otherwise. */

export interface GolferChange {
  readonly golfer: string;
  readonly arm: string;
  readonly role: 'drill' | 'control';
  /** Mean of the golfer's full swings in the phase; null where none was captured. */
  readonly before: number | null;
  readonly after: number | null;
  readonly retention: number | null;
  readonly swingsBefore: number;
  readonly swingsAfter: number;
  /** after - before as observed. */
  readonly change: number | null;
  /** The change shrunken by how noisy this golfer's own data are, with its interval. */
  readonly shrunken: number | null;
  readonly interval: readonly [number, number] | null;
  /** Probability that the golfer's true change exceeds the smallest change that matters, in the good direction. */
  readonly chanceMeaningful: number | null;
  readonly reps: number | null;
}

/** The mean of one arm in one phase and task, in the unit of the metric. */
export interface GroupPhase {
  readonly arm: string;
  readonly role: 'drill' | 'control';
  readonly phase: 'baseline' | 'training' | 'post' | 'retention';
  readonly task: 'full' | 'drill';
  readonly golfers: number;
  readonly swings: number;
  readonly mean: number;
  /** Interval of the mean over golfers, not over swings. */
  readonly interval: readonly [number, number] | null;
  readonly level: number;
}

/** Who was there at each stage, by arm: assigned, with baseline, with post, with retention. */
export interface FlowRow {
  readonly arm: string;
  readonly role: 'drill' | 'control';
  readonly assigned: number;
  readonly baseline: number;
  readonly post: number;
  readonly retention: number;
}

/** How often a golfer did the drill, and how far the number changed, in the unit of the metric. */
export interface DosePoint {
  readonly golfer: string;
  readonly reps: number;
  readonly change: number;
}

/** What the page of a drill trial is drawn from. */
export interface DrillTrialTables {
  readonly golfers: readonly GolferChange[];
  readonly groups: readonly GroupPhase[];
  readonly flow: readonly FlowRow[];
  readonly dose: readonly DosePoint[];
  /** What `before` and `after` of the golfers mean: in a crossover, after the control and after the drill. */
  readonly columns?: { readonly before: string; readonly after: string };
}
