import {
  decimalsFor,
  degreesBySign,
  formatInterval,
  formatQuantity,
  notTheDifference,
} from '../report/index.ts';
import type { Finding, FindingEstimate } from '../studies/index.ts';
import { wrapped } from './wrapped.ts';

const WIDTH = 96;

/** A Finding as a few paragraphs for a terminal: question, answer, what else was found, what to mind. */
export function findingInWords(original: Finding): string {
  const finding = degreesBySign(original);
  const { design, leftOut, warnings } = finding;
  const others = finding.estimates.slice(1).map((estimate) => `- ${estimateLine(estimate)}`);
  const parts = [
    oneLine(finding.question),
    finding.answer,
    design.words,
    others.length === 0 ? '' : others.map((line) => wrapped(line, WIDTH, '', '  ')).join('\n'),
    notTheDifference(finding),
    leftOut.length === 0
      ? ''
      : `Left out, or used only in part: ${leftOut.map(({ count, table, why }) => `${count} ${table} (${why})`).join('; ')}.`,
    warnings.length === 0 ? '' : `Mind: ${warnings.join(' ')}`,
    finding.specifications === undefined ? '' : `Under every choice: ${finding.specifications.words}`,
    finding.planned.words,
  ];
  return parts
    .filter((part) => part !== '')
    .map((part) => (part.includes('\n') ? part : wrapped(part, WIDTH)))
    .join('\n\n');
}

/** A question of a plan may come with line ends, which could pass for lines of ours. */
const oneLine = (text: string): string => text.replace(/\s+/g, ' ').trim();

/** Why a spread can be below zero, where it or its interval is: the sentence of its meaning that says so. */
function belowZero({ name, value, interval, meaning }: FindingEstimate): string {
  if (!/^SD\b/.test(name) || Math.min(value ?? 0, interval[0] ?? 0) >= 0) return '';
  return `. ${/Below zero[^.]*/.exec(meaning)?.[0] ?? 'Below zero means less spread than noise alone makes'}`;
}

function estimateLine(estimate: FindingEstimate): string {
  const { name, value, interval, unit, level } = estimate;
  const [low, high] = interval;
  const blur = low === null || high === null ? Math.abs(value ?? 0) / 10 : (high - low) / 4;
  const decimals = decimalsFor(blur);
  const range =
    low === null && high === null
      ? 'no interval'
      : `${level * 100}% interval ${formatInterval(interval, unit, decimals, false)}`;
  return `${name}: ${formatQuantity(value, unit, decimals)} (${range})${belowZero(estimate)}`;
}
