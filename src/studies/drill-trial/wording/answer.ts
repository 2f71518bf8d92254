import type { SmallestChange } from '../../finding.ts';
import { standingOf } from '../../shared/standing.ts';
import {
  ABOUT_THE_SAME,
  amount,
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
  return `${opening}${standingWords(parts, decimals)}${afterthought(parts)}.`;
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

/** The verdict in words, with what the data do and do not rule out. */
function standingWords({ effect, smallest, noInterval }: AnswerParts, decimals: number): string {
  if (smallest === null)
    return '; nothing says how small a change would matter, so whether it matters cannot be told';
  const s = amount(smallest.value, smallest.unit, decimals);
  const that = /points$/.test(s) ? 'that matter' : 'that matters';
  switch (standingOf(effect.interval, smallest)) {
    case 'beyond-good':
      return `; even the near end of the interval is at least the ${s} ${that}: a change that matters, in the good direction`;
    case 'beyond-either':
      return `; even the near end of the interval is at least the ${s} ${that}: a change that matters, though neither direction is better in itself`;
    case 'beyond-bad':
      return `; even the near end of the interval is at least the ${s} ${that}, in the wrong direction`;
    case 'inside':
      return effect.interval![0] > 0 || effect.interval![1] < 0
        ? `; there is a change, but the whole interval is within the ${s} ${that}: too small to matter`
        : `; the whole interval is within ${s} either way: too small to matter`;
    case 'changed-maybe-too-little':
      return `; it changed${smallest.goodDirection === 0 ? '' : ' in the good direction'}, but perhaps by less than the ${s} ${that}, so whether it changed enough cannot be told`;
    case 'worse-maybe-too-little':
      return `; it changed in the wrong direction, perhaps by less than the ${s} ${that}, so whether that matters cannot be told`;
    case 'harm-ruled-out':
      return `; a change for the worse of the ${s} ${that} is ruled out, but whether there is a gain cannot be told`;
    case 'benefit-ruled-out':
      return `; a gain of the ${s} ${that} is ruled out, but whether there is harm cannot be told`;
    case 'anything':
      return `; the data fit a change of the ${s} ${that} in either direction, and none at all, so it cannot be told`;
    case 'no-interval':
      return `; ${noInterval}, so it cannot be told`;
  }
}

function afterthought({ kind, smallest }: AnswerParts): string {
  if (kind !== 'before-after') return '';
  return `${smallest === null ? '; and' : '.'}${smallest === null ? ' w' : ' W'}ithout a control group this is a change and not the effect of the drill`;
}
