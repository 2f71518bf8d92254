import type { SmallestChange } from '../../finding.ts';
import { standingWords } from '../../shared/standing-words.ts';
import {
  ABOUT_THE_SAME,
  capitalised,
  decimalsToShow,
  difference,
  intervalOfDifference,
  type Shown,
} from '../../shared/words.ts';
import type { Effect } from '../analysis/effect.ts';
import type { DesignKind } from '../input/design.ts';
import { drillWords } from './arm-words.ts';

/** What the answer is made from. */
export interface AnswerParts {
  readonly kind: DesignKind;
  readonly label: string;
  readonly column: string;
  readonly unit: string;
  readonly decimals: number;
  readonly level: number;
  readonly arm: string;
  readonly drills: readonly string[];
  /** The control as it is spoken of; null without one. */
  readonly control: string | null;
  /** The golfers of the control as they are spoken of. */
  readonly controlGroup: string | null;
  readonly effect: Effect;
  readonly smallest: SmallestChange | null;
  /** Golfers compared, with a value after. */
  readonly golfers: number;
  /** Why there is an estimate without an interval, where that is so. */
  readonly noInterval: string;
  /** Why there is no estimate, where there is none. */
  readonly why: string;
}

/**
 * The answer for one arm in one sentence: the size, its interval, and where that stands against the smallest
 * change that matters. Without a control the words are of a change, never of an effect.
 */
export function answerSentence(parts: AnswerParts): string {
  const { effect, smallest } = parts;
  if (effect.value === null) return `Cannot tell: ${parts.why}`;
  const decimals = decimalsToShow(effect.interval, smallest?.value ?? null, parts.decimals);
  const shown: Shown = { column: parts.column, unit: parts.unit, level: parts.level, decimals };
  const size = difference(effect.value, shown);
  const sure = effect.interval === null ? '' : ` (${intervalOfDifference(effect.interval, shown)})`;
  const opening = capitalised(`${parts.label} ${comparison(parts, size, sure)}`);
  return `${opening}${standingWords(effect.interval, smallest, decimals, parts.noInterval)}${afterthought(parts)}.`;
}

function comparison(parts: AnswerParts, size: string, sure: string): string {
  const { kind, arm, drills, control, controlGroup, golfers } = parts;
  const drill = drillWords(arm, drills);
  const than = size === ABOUT_THE_SAME ? 'as' : 'than';
  switch (kind) {
    case 'before-after': {
      const whose = golfers === 1 ? 'of the one golfer measured ' : '';
      return `${whose}was ${size}${sure} after ${drill} ${than} before`;
    }
    case 'stepped-start':
      return `was ${size}${sure} once golfers had started the drill ${than} before their start, changes over time that everybody shared taken out`;
    case 'crossover':
      return `ended ${size}${sure} after ${drill} ${than} after ${control} in the same golfers`;
    case 'parallel': {
      const doers = drills.length < 2 ? 'golfers who did the drill' : `golfers in ${drill}`;
      return `ended ${size}${sure} in ${doers} ${than} in ${controlGroup}`;
    }
  }
}

function afterthought({ kind, smallest }: AnswerParts): string {
  if (kind !== 'before-after') return '';
  return `${smallest === null ? '; and' : '.'}${smallest === null ? ' w' : ' W'}ithout a control group this is a change and not the effect of the drill`;
}
