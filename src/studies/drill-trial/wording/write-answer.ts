import type { GolferChange } from '../../drill-trial-tables.ts';
import { list } from '../../shared/words.ts';
import type { Answers } from '../analysis/ask.ts';
import { NO_EFFECT } from '../analysis/effect.ts';
import { comparedArms, type Design } from '../input/design.ts';
import { type AnswerParts, answerSentence } from './answer.ts';
import { controlGroupWords, controlWords } from './arm-words.ts';
import type { FindingParts } from './write-finding.ts';

/** The answer: a sentence for each arm that is compared. */
export function answerOf({ design, extracted, answers, placed }: FindingParts): string {
  const { metric } = extracted.data;
  const { main, request, smallest, golfers } = answers;
  const sentences = comparedArms(design).map((arm) => {
    const after = new Set(
      placed.rows.filter((row) => row.task === 'full' && row.phase === 'post').map((row) => row.golfer),
    );
    const parts: AnswerParts = {
      kind: design.kind,
      label: metric.label,
      column: metric.column,
      unit: metric.unit,
      decimals: metric.decimals,
      level: request.level,
      arm,
      drills: design.drills,
      control: design.control === null ? null : controlWords(design.control),
      controlGroup: design.control === null ? null : controlGroupWords(design.control),
      effect: main.effects.get(arm) ?? NO_EFFECT,
      smallest,
      golfers: after.size,
      noInterval: whyNoInterval(golfers, arm),
      why: whyNone(design, answers, arm),
    };
    return answerSentence(parts);
  });
  return sentences.join(' ');
}

function whyNoInterval(golfers: readonly GolferChange[], arm: string): string {
  const changes = golfers.filter((golfer) => golfer.arm === arm).flatMap((golfer) => golfer.change ?? []);
  return changes.length > 1 && changes.every((change) => change === changes[0])
    ? 'all golfers changed by exactly the same amount, which measured swings do not do: nothing says how sure this is'
    : 'there are too few golfers to say how sure this is';
}

function whyNone(design: Design, { main, flow }: Answers, arm: string): string {
  const empty = flow
    .filter((row) => row.post === 0 && (row.arm === arm || row.arm === design.control))
    .map((row) => `'${row.arm}'`);
  if (empty.length > 0) return `no golfer in ${list(empty)} has a full swing with a value after the drill.`;
  const sentence = main.form === 'none' ? main.notes[0]! : 'the golfers measured do not allow a comparison.';
  return sentence.charAt(0).toLowerCase() + sentence.slice(1);
}
