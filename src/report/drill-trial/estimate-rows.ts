import type { Finding, FindingEstimate, Sensitivity } from '../../studies/index.ts';
import { capital, estimateRange, estimateValue } from '../estimate-html.ts';
import { verdictShort } from '../verdict-words.ts';

export type Rank = 'main' | 'other' | 'sensitivity';

export interface EstimateRow {
  readonly rank: Rank;
  readonly name: string;
  readonly estimate: FindingEstimate;
  readonly value: string;
  readonly range: string;
  readonly words: string;
  /** Place from the top; a heading takes a place of its own. */
  readonly slot: number;
}

/** Estimates that are a change in the metric or a difference of changes, and so can be held against the zone. */
function isChange(finding: Finding, { key, unit }: FindingEstimate): boolean {
  return unit === finding.metric.unit && /^(effect|change|retention|drill-speed)\b/.test(key ?? '');
}

/** Choices that make another estimate; another smallest change, say, leaves the estimate where it was. */
function otherEstimates(finding: Finding): Sensitivity[] {
  const main = finding.estimates[0];
  return finding.sensitivity.filter(
    ({ estimate }) =>
      estimate !== null &&
      estimate.unit === finding.metric.unit &&
      !(estimate.value === main?.value && estimate.interval.every((end, k) => end === main.interval[k])),
  );
}

/** What the figure of the estimate shows, row by row, and where the heading of the sensitivities stands. */
export function estimateRows(finding: Finding): {
  readonly rows: readonly EstimateRow[];
  readonly heading: number | null;
} {
  const shown = (estimate: FindingEstimate) => ({
    estimate,
    value: estimateValue(estimate, finding),
    range: estimateRange(estimate, finding),
  });
  const changes = finding.estimates.filter((estimate, k) => k === 0 || isChange(finding, estimate));
  const rows: EstimateRow[] = changes.map((estimate, k) => ({
    rank: k === 0 ? 'main' : 'other',
    name: capital(estimate.name),
    words: estimate.meaning,
    slot: k,
    ...shown(estimate),
  }));
  const tried = otherEstimates(finding);
  if (tried.length === 0) return { rows, heading: null };
  const heading = rows.length;
  for (const [k, { name, words, verdict, estimate }] of tried.entries()) {
    rows.push({
      rank: 'sensitivity',
      name: capital(name),
      words: `${verdictShort(verdict)}. ${words}`,
      slot: heading + 1 + k,
      ...shown(estimate as FindingEstimate),
    });
  }
  return { rows, heading };
}
