import { decimalsFor, formatInterval, formatQuantity } from '../report/index.ts';
import type { Finding, FindingEstimate } from '../studies/index.ts';
import { wrapped } from './wrapped.ts';

const WIDTH = 96;

/** A Finding as a few paragraphs for a terminal: question, answer, what else was found, what to mind. */
export function findingInWords(finding: Finding): string {
  const { design, leftOut, warnings } = finding;
  const others = finding.estimates.slice(1).map((estimate) => `- ${estimateLine(estimate)}`);
  const parts = [
    finding.question,
    finding.answer,
    design.words,
    others.length === 0 ? '' : others.map((line) => wrapped(line, WIDTH, '', '  ')).join('\n'),
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

function estimateLine({ name, value, interval, unit, level }: FindingEstimate): string {
  const [low, high] = interval;
  const blur = low === null || high === null ? Math.abs(value ?? 0) / 10 : (high - low) / 4;
  const decimals = decimalsFor(blur);
  const range =
    low === null && high === null
      ? 'no interval'
      : `${level * 100}% interval ${formatInterval(interval, unit, decimals, false)}`;
  return `${name}: ${formatQuantity(value, unit, decimals)} (${range})`;
}
