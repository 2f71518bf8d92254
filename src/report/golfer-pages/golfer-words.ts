import type { DrillTrialTables, Finding, GolferChange } from '../../studies/index.ts';
import { designWords } from '../drill-trial/design-words.ts';
import {
  decimalsFor,
  formatChange,
  formatCount,
  formatInterval,
  formatNumber,
  formatQuantity,
  unitSuffix,
} from '../numbers.ts';
import { intervalAgainstZone } from '../verdict-words.ts';

/** Two figures of the golfer's own half interval, or one decimal without it. */
export function ownDecimals({ interval }: GolferChange): number {
  return decimalsFor(interval === null ? null : (interval[1] - interval[0]) / 2, 2);
}

/** The golfer's answer in sentences made from his or her row alone; no other golfer's number is in it but the group's pull. */
export function golferWords(finding: Finding<DrillTrialTables>, golfer: GolferChange): string {
  const { unit } = finding.metric;
  const { before, after, observed } = designWords(finding);
  const decimals = ownDecimals(golfer);
  const swings = (count: number): string => formatCount(count, 'full swing');
  if (golfer.before === null || golfer.after === null || golfer.change === null) {
    const missing = golfer.before === null ? before : after;
    return `No full swings were measured ${missing}, so a ${observed} cannot be told.`;
  }
  const sentences = [
    `From ${formatQuantity(golfer.before, unit, decimals)} ${before} (mean of ${swings(golfer.swingsBefore)}) to ${formatQuantity(golfer.after, unit, decimals)} ${after} (${swings(golfer.swingsAfter)}): ${formatChange(golfer.change, decimals)}${unitSuffix(unit)}.`,
  ];
  const { shrunken, interval, chanceMeaningful } = golfer;
  if (shrunken !== null) {
    const range = interval === null ? '' : ` (interval ${formatInterval(interval, unit, decimals)})`;
    sentences.push(
      `No swing is like the last, and some of this is chance: the best guess is ${formatChange(shrunken, decimals)}${unitSuffix(unit)}${range}.`,
    );
  }
  if (interval !== null) sentences.push(against(finding, golfer));
  if (chanceMeaningful !== null)
    sentences.push(`The chance that the ${observed} matters is ${formatNumber(chanceMeaningful * 100, 0)}%.`);
  else if (interval !== null)
    sentences.push(
      'What the single days did is in these numbers, so a lasting difference is less sure than the interval looks.',
    );
  return sentences.filter((sentence) => sentence !== '').join(' ');
}

function against(finding: Finding<DrillTrialTables>, { shrunken, interval }: GolferChange): string {
  const { metric } = finding;
  const own = {
    name: '',
    meaning: '',
    value: shrunken,
    interval: interval ?? ([null, null] as const),
    level: 0.95,
    unit: metric.unit,
    degreesOfFreedom: null,
  };
  return intervalAgainstZone({ ...finding, estimates: [own] });
}
