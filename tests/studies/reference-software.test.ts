import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { drillTrial, type Finding, type FindingEstimate } from '../../src/studies/index.ts';
import { datasetOf } from './simulate.ts';

/** What R says; made by tests/reference/trials/trials.R from the CSVs beside it, versions in the file. */
interface Known {
  readonly value: number;
  readonly interval: readonly [number, number];
  readonly degreesOfFreedom?: number;
  readonly standardError?: number;
}
interface Trial {
  readonly [name: string]: Known;
}
interface WithGolfers {
  readonly effect: Known;
  readonly golfers: Readonly<Record<string, Known>>;
}

const folder = new URL('../reference/trials/', import.meta.url);
const known = JSON.parse(readFileSync(new URL('trials_expected.json', folder), 'utf8'));

function csv(name: string): Record<string, string>[] {
  const [header, ...lines] = readFileSync(new URL(name, folder), 'utf8').trim().split('\n');
  const columns = header!.split(',');
  return lines.map((line) => {
    const cells = line.split(',');
    return Object.fromEntries(columns.map((column, i) => [column, cells[i]!]));
  });
}

const METRICS = ['shaft_lean_impact_deg', 'lag_delivery_deg'] as const;

function findingOf(trial: string, metric: string): Finding {
  const sessions = csv('sessions.csv').filter((row) => row.trial === trial);
  const ids = new Set(sessions.map((row) => row.session!));
  const assignments = csv('assignments.csv').filter((row) => row.trial === trial);
  const order = new Map<string, number>();
  const dataset = datasetOf({
    golfers: [...new Set(assignments.map((row) => row.golfer!))].map((golfer_id) => ({
      golfer_id,
      plays: 'right' as const,
    })),
    sessions: sessions.map((row) => ({
      session_id: row.session!,
      golfer_id: row.golfer!,
      date: row.date!,
      phase: row.phase as 'post',
    })),
    swings: csv('swings.csv')
      .filter((row) => ids.has(row.session!))
      .map((row) => {
        const place = (order.get(row.session!) ?? 0) + 1;
        order.set(row.session!, place);
        return {
          swing_id: `${row.session}-${place}`,
          session_id: row.session!,
          order_in_session: place,
          task: row.task as 'full',
          ...Object.fromEntries(METRICS.flatMap((name) => (row[name] ? [[name, Number(row[name])]] : []))),
        };
      }),
    assignments: assignments.map((row) => ({
      golfer_id: row.golfer!,
      trial_id: 'T',
      arm: row.arm!,
      assigned_on: row.assigned_on!,
    })),
    practice: csv('practice.csv')
      .filter((row) => row.trial === trial)
      .map((row) => ({
        golfer_id: row.golfer!,
        date: row.date!,
        drill: row.drill!,
        reps: Number(row.reps),
      })),
  });
  const outcome = drillTrial(dataset, { metric });
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.finding;
}

function named(finding: Finding, key: string): FindingEstimate {
  const found = finding.estimates.find((entry) => entry.key === key);
  if (found === undefined) throw new Error(`no estimate ${key}`);
  return found;
}

// Differences are counted in widths of the interval: both optimisers stop at about 1e-6 of a standard deviation.
const WIDTHS = 2e-5;
const DEGREES = 2e-4;

function expectAgreement(
  found: Pick<FindingEstimate, 'value' | 'interval'> & { readonly degreesOfFreedom?: number | null },
  reference: Known,
): void {
  const width = reference.interval[1] - reference.interval[0];
  expect(Math.abs(found.value! - reference.value) / width).toBeLessThan(WIDTHS);
  for (const end of [0, 1] as const)
    expect(Math.abs(found.interval[end]! - reference.interval[end]) / width).toBeLessThan(WIDTHS);
  if (reference.degreesOfFreedom !== undefined && found.degreesOfFreedom !== undefined)
    expect(Math.abs(found.degreesOfFreedom! / reference.degreesOfFreedom - 1)).toBeLessThan(DEGREES);
}

/** Each golfer's shrunken change; the reference's degrees of freedom enter through the interval. */
/**
 * R takes estimated variances as known, the study averages over those that the data allow (checked by itself in
 * tests/stats/models/averaged): the same golfers, near R's numbers, as sure or less so.
 */
function expectGolfers(finding: Finding, golfers: Readonly<Record<string, Known>>): void {
  const rows = (
    finding.tables as {
      golfers: { golfer: string; shrunken: number | null; interval: [number, number] | null }[];
    }
  ).golfers;
  expect(Object.keys(golfers).length).toBeGreaterThan(1);
  for (const [id, reference] of Object.entries(golfers)) {
    const row = rows.find((golfer) => golfer.golfer === id)!;
    const [low, high] = row.interval!;
    const width = reference.interval[1] - reference.interval[0];
    expect(Math.abs(row.shrunken! - reference.value), id).toBeLessThan(width / 4);
    expect((high - low) / width, id).toBeGreaterThan(0.9);
    expect((high - low) / width, id).toBeLessThan(2);
  }
}

describe.each(METRICS)('parallel groups with dropouts, %s', (metric) => {
  const finding = findingOf('parallel', metric);
  const reference = known.parallel[metric] as Trial & {
    readonly smallest: number;
    readonly expectedShift: number;
  };
  it.each([
    ['effect', 'effect'],
    ['retention', 'retention'],
    ['retention-share', 'retentionShare'],
    ['drill-speed', 'drillSpeed'],
    ['carry-over-loss', 'lost'],
    ['carry-over-share', 'carriedShare'],
    ['dose', 'dose'],
  ])('%s', (key, name) => {
    expectAgreement(named(finding, key), reference[name]!);
  });
  it('SD of individual responses', () => {
    const { value, interval } = named(finding, 'individual-responses');
    expectAgreement({ value, interval }, reference.individual!);
  });
  it('default smallest change, and regression to the mean', () => {
    expect(finding.smallestChange!.value / reference.smallest).toBeCloseTo(1, 9);
    expect(named(finding, 'regression-drill').value! / reference.expectedShift).toBeCloseTo(1, 7);
  });
  it.each([
    ['change scores', 'changeScores'],
    ['change scores, spreads not taken as equal', 'welch'],
  ])('sensitivity: %s', (name, key) => {
    const { estimate } = finding.sensitivity.find((entry) => entry.name === name)!;
    expectAgreement(estimate!, reference[key]!);
  });
  it("golfers' shrunken changes and their intervals", () => {
    expectGolfers(finding, reference.golfers as unknown as WithGolfers['golfers']);
  });
});

describe('the other designs, shaft_lean_impact_deg', () => {
  it.each([
    ['crossover', 'crossover'],
    ['stepped-start', 'stepped'],
  ])('%s: effect and golfers', (trial, key) => {
    const finding = findingOf(trial, 'shaft_lean_impact_deg');
    const reference = known[key] as WithGolfers;
    expect(finding.design.kind).toBe(trial);
    expectAgreement(named(finding, 'effect'), reference.effect);
    expectGolfers(finding, reference.golfers);
  });
  it('one group before and after: change, retention, share kept, dose', () => {
    const finding = findingOf('before-after', 'shaft_lean_impact_deg');
    const reference = known.beforeAfter as Trial;
    expect(finding.design.kind).toBe('before-after');
    for (const [key, name] of [
      ['effect', 'effect'],
      ['retention', 'retention'],
      ['retention-share', 'retentionShare'],
      ['dose', 'dose'],
    ] as const)
      expectAgreement(named(finding, key), reference[name]!);
  });
});
