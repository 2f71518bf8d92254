import type { Finding, FindingEstimate, SmallestChange } from '../studies/index.ts';
import { escapeMarkup } from './escape.ts';
import {
  decimalsFor,
  formatChange,
  formatInterval,
  formatLevel,
  formatNumber,
  unitSuffix,
} from './numbers.ts';
import { proseHtml } from './text-html.ts';

/** Units of people, who come whole, each with the word for one. */
const people: Readonly<Record<string, string>> = { golfers: 'golfer', pupils: 'pupil' };

/** No finer than any instrument of the trade reads; a rate and a number without a unit may need a third decimal. */
const mostDecimals = (unit: string): number => (/^(deg|ms|mm|cm|m|m\/s|%|yards?)$/.test(unit) ? 2 : 3);

/** Two figures of the interval's half-width; none for a number of people. */
function ownDecimals({ value, interval: [low, high], unit }: FindingEstimate): number {
  if (Object.hasOwn(people, unit)) return 0;
  const most = unit === '%' ? 1 : mostDecimals(unit);
  if (low !== null && high !== null && high > low) return decimalsFor((high - low) / 2, most);
  return decimalsFor(value === null ? null : Math.abs(value) / 10, most);
}

/**
 * Decimals for an estimate of a Finding: two figures of its interval's half-width; for one in the metric's unit
 * no fewer than the first has; and more where an end of the interval would otherwise look equal to no change or
 * to the smallest change that matters.
 */
export function estimateDecimals(estimate: FindingEstimate, finding: Finding): number {
  const [first] = finding.estimates;
  const alike = estimate.unit === finding.metric.unit && first?.unit === finding.metric.unit;
  const smallest = alike ? finding.smallestChange : null;
  const floor = alike ? tellingDecimals(first, smallest) : 0;
  const bare = estimate.interval.every((end) => end === null);
  return alike && bare ? floor : Math.max(floor, tellingDecimals(estimate, smallest));
}

/** Decimals at which an end of the interval that differs from a limit is seen to differ. */
function tellingDecimals(estimate: FindingEstimate, smallest: SmallestChange | null): number {
  const limits = smallest === null ? [0] : [0, smallest.value, -smallest.value];
  const ends = estimate.interval.filter((end) => end !== null);
  let decimals = ownDecimals(estimate);
  if (Object.hasOwn(people, estimate.unit)) return decimals;
  const blurred = (): boolean =>
    ends.some((end) =>
      limits.some((limit) => end !== limit && formatNumber(end, decimals) === formatNumber(limit, decimals)),
    );
  while (decimals < 4 && blurred()) decimals += 1;
  return decimals;
}

/** A change or an effect has a direction, and is shown with its sign; a spread or a share has none. */
function isSigned({ key, unit, unsigned }: FindingEstimate, { metric }: Finding): boolean {
  if (unsigned === true) return false;
  return (unit === metric.unit || /\bper\b/.test(unit)) && key !== 'individual-responses';
}

/** `+6.2°`, or why there is none. */
export function estimateValue(estimate: FindingEstimate, finding: Finding): string {
  if (estimate.value === null) return 'not estimable';
  const show = isSigned(estimate, finding) ? formatChange : formatNumber;
  const text = show(estimate.value, estimateDecimals(estimate, finding));
  const one = text === '1' && Object.hasOwn(people, estimate.unit) ? people[estimate.unit] : undefined;
  return text + unitSuffix(one ?? estimate.unit);
}

/** `+3.1 to +9.3°`. */
export function estimateRange(estimate: FindingEstimate, finding: Finding): string {
  return formatInterval(
    estimate.interval,
    estimate.unit,
    estimateDecimals(estimate, finding),
    isSigned(estimate, finding),
  );
}

/** Machine values of an estimate as data attributes. */
export function estimateData(estimate: FindingEstimate): string {
  const [low, high] = estimate.interval;
  return `data-value="${estimate.value ?? ''}" data-low="${low ?? ''}" data-high="${high ?? ''}" data-unit="${escapeMarkup(estimate.unit)}"`;
}

/** Two columns: what it is and means; the number with its interval. */
export function estimatesTableHtml(
  estimates: readonly FindingEstimate[],
  finding: Finding,
  caption: string,
): string {
  const rows = estimates.map((estimate) => {
    const df = estimate.degreesOfFreedom;
    const range = estimateRange(estimate, finding);
    const fine = df === null ? '' : `, ${formatNumber(df, 1)} degrees of freedom`;
    const between =
      range === '–'
        ? '<span class="range">no interval</span>'
        : `<span class="range">${escapeMarkup(range)}</span><span class="fine">${formatLevel(estimate.level)} interval${fine}</span>`;
    return (
      `<tr><th scope="row"><span class="name">${proseHtml(capital(estimate.name))}</span>` +
      `<span class="meaning">${proseHtml(estimate.meaning)}</span></th>` +
      `<td ${estimateData(estimate)}><span class="value">${escapeMarkup(estimateValue(estimate, finding))}</span>${between}</td></tr>`
    );
  });
  return (
    `<table class="results"><caption>${escapeMarkup(caption)}</caption>` +
    `<thead><tr><th scope="col">What</th><th scope="col">Estimate</th></tr></thead>\n<tbody>\n${rows.join('\n')}\n</tbody></table>`
  );
}

/** The text with its first letter raised. */
export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
