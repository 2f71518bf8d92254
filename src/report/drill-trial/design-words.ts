import type { Finding } from '../../studies/index.ts';

/** What the two values of a golfer and their difference are called: in a crossover they are not before and after. */
export interface DesignWords {
  readonly crossover: boolean;
  readonly before: string;
  readonly after: string;
  /** Title of the figure of golfers. */
  readonly title: string;
  /** Title of an axis of differences. */
  readonly change: string;
  /** What is told of one golfer's two values. */
  readonly observed: string;
  /** An arm's golfers: in a crossover, those who began with it. */
  readonly golfersOf: (label: string) => string;
}

const beforeAfter: DesignWords = {
  crossover: false,
  before: 'before',
  after: 'after',
  title: 'Each golfer’s change',
  change: 'Change, after less before',
  observed: 'change',
  golfersOf: (label) => label,
};

const bothArms: DesignWords = {
  crossover: true,
  before: 'after the control',
  after: 'after the drill',
  title: 'Each golfer’s difference between drill and control',
  change: 'After the drill less after the control',
  observed: 'difference',
  golfersOf: (label) => `${label} first`,
};

export function designWords({ design }: Finding): DesignWords {
  return design.kind === 'crossover' ? bothArms : beforeAfter;
}
