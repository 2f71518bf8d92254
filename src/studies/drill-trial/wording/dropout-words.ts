import type { FlowRow } from '../../drill-trial-tables.ts';
import type { Check, SmallestChange } from '../../finding.ts';
import type { StudyMetric } from '../../shared/study-metric.ts';
import { amount, count, figure, figureIn, list, listSome, percent } from '../../shared/words.ts';
import type { Dropouts } from '../analysis/dropouts.ts';
import type { DesignKind } from '../input/design.ts';

/** Attrition in words, with the thresholds of Schulz and Grimes 2002 (Lancet 359:781-785): 5% and 20%. */
export function dropoutChecks(
  dropouts: Dropouts,
  flow: readonly FlowRow[],
  metric: StudyMetric,
  smallest: SmallestChange | null,
  kind: DesignKind,
): Check[] {
  if (kind === 'crossover') return [oneSided(dropouts)];
  const left = [...dropouts.leavers].filter(([, golfers]) => golfers.length > 0);
  if (left.length === 0)
    return [
      {
        name: 'dropouts',
        outcome: 'good',
        words: 'Every golfer who has a value before also has one after.',
      },
    ];
  const most = Math.max(...dropouts.share.values());
  const who = left.map(([arm, golfers]) => {
    const started = flow.find((row) => row.arm === arm)!;
    return `${golfers.length} of ${started.baseline} in '${arm}' (${listSome(golfers)})`;
  });
  return [
    {
      name: 'dropouts',
      outcome: most > 0.2 ? 'bad' : most > 0.05 ? 'look' : 'good',
      words: `Measured before and not after: ${list(who)}. ${difference(dropouts, metric)}`,
    },
    {
      name: 'how extreme the missing changes would have to be',
      outcome:
        dropouts.tipping === null ? 'not-possible' : (dropouts.tippingInSds ?? 9) < 1 ? 'look' : 'good',
      words: tippingWords(dropouts, metric, smallest),
    },
  ];
}

function oneSided({ leavers, share }: Dropouts): Check {
  const golfers = [...leavers.values()].flat();
  const most = Math.max(...share.values());
  return {
    name: 'dropouts',
    outcome: most > 0.2 ? 'bad' : most > 0.05 ? 'look' : 'good',
    words:
      golfers.length === 0
        ? 'Every golfer who was measured was measured after both arms.'
        : `Measured after one of the two arms only: ${listSome(golfers)} (${percent(most)}). They say little about the difference; the model uses what they have.`,
  };
}

function difference({ baselineDifference, leavers }: Dropouts, metric: StudyMetric): string {
  const count_ = [...leavers.values()].flat().length;
  if (baselineDifference === null)
    return `With ${count(count_, 'golfer')} gone, how they differed from those who stayed cannot be judged.`;
  const { difference: gap, interval } = baselineDifference;
  return `They had started ${amount(Math.abs(gap), metric.unit, metric.decimals)} ${gap >= 0 ? 'above' : 'below'} those who stayed (interval of the difference ${figureIn(interval[0], metric.unit, metric.decimals)} to ${figureIn(interval[1], metric.unit, metric.decimals)}). The model uses what they have and takes them to change like golfers who started where they did.`;
}

function tippingWords(
  { tipping, tippingInSds, share }: Dropouts,
  metric: StudyMetric,
  smallest: SmallestChange | null,
): string {
  if (tipping === null)
    return smallest === null
      ? 'Without a smallest change that matters there is no verdict to alter.'
      : 'There is no interval to move, or no shift of those who left would alter the verdict.';
  const both = [...share.values()].filter((value) => value > 0).length > 1;
  const sds =
    tippingInSds === null ? '' : `, ${figure(tippingInSds, 1)} times the SD of the changes that were seen`;
  return `The verdict would change if the golfers who left the drill had changed on average by ${amount(Math.abs(tipping), metric.unit, metric.decimals)} ${tipping > 0 ? 'more' : 'less'} than golfers like them${sds}${both ? ', and those who left the control by as much the other way' : ''}. ${
    (tippingInSds ?? 0) > 1
      ? 'That would take unusual golfers.'
      : 'That is not out of the question, so the verdict leans on those who stayed.'
  } (At most ${percent(Math.max(...share.values()))} of an arm left.)`;
}
