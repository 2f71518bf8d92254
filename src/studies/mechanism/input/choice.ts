/** What is held when the slope is asked for, beyond the golfer's own level. */
export type Held = 'order' | 'club' | 'speed-intent' | 'phase' | 'device' | 'pelvis-turn' | 'thorax-turn';

/** Which swings count. */
export type SwingRule = 'all' | 'not-the-first-two' | 'without-outliers' | 'baseline-only';

/** One way of asking the question; every part has a default. */
export interface MechanismChoice {
  readonly predictor: string;
  readonly outcome: string;
  /** What carries the effect; null where nothing that could was measured. */
  readonly mediator: string | null;
  /** Own level that is taken away: the golfer's, or the golfer's of that day. */
  readonly within: 'golfer' | 'session';
  readonly rule: SwingRule;
  readonly held: readonly Held[];
  /** Whether the slope is that on the true values, where measurement SDs are stated. */
  readonly corrected: boolean;
}

export const HELD_WORDS: Readonly<Record<Held, string>> = {
  order: 'how far into the session the swing was (tiring, warming up)',
  club: 'the club',
  'speed-intent': 'the speed that was asked for',
  phase: 'the phase of the teaching',
  device: 'the device',
  'pelvis-turn': 'pelvis turn at impact',
  'thorax-turn': 'thorax turn at impact',
};

export const RULE_WORDS: Readonly<Record<SwingRule, string>> = {
  all: 'every full swing',
  'not-the-first-two': 'without the first two swings of each session',
  'without-outliers': 'without swings that lie more than 3.5 robust SDs from the golfer’s own middle',
  'baseline-only': 'only swings before any teaching',
};
