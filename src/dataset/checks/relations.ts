import {
  type DifferenceOf,
  type MetricRelation,
  metricRelations,
  type NeverBelow,
  type RatioOf,
  type UsuallyAbove,
} from '../../kinematics/index.ts';
import { median } from '../../numerics/index.ts';
import type { Problem } from '../problem.ts';
import type { Table } from '../table.ts';
import { ENOUGH } from './column-units.ts';
import { fewNumbers } from './numbers.ts';

type Swings = Table<'swings'>;

/** What must hold between two columns of one swing: conventions and units show in how numbers fit together. */
export function checkRelations(swings: Swings): Problem[] {
  const task = swings.text('task');
  const full = Array.from({ length: swings.length }, (_, index) => index).filter(
    (index) => task[index] === 'full',
  );
  return metricRelations.flatMap((relation) => breaches(swings, relation, full));
}

function breaches(swings: Swings, relation: MetricRelation, full: readonly number[]): Problem[] {
  switch (relation.kind) {
    case 'usually-above':
      return usuallyAbove(swings, relation, full);
    case 'never-below':
      return neverBelow(swings, relation);
    case 'difference':
      return difference(swings, relation);
    case 'ratio':
      return ratio(swings, relation, full);
  }
}

const finite = (value: number | undefined): value is number => value !== undefined && Number.isFinite(value);

function usuallyAbove(swings: Swings, relation: UsuallyAbove, full: readonly number[]): Problem[] {
  if (!swings.has(relation.higher) || !swings.has(relation.lower)) return [];
  const [higher, lower] = [swings.numbers(relation.higher), swings.numbers(relation.lower)];
  const both = full.filter((index) => finite(higher[index]) && finite(lower[index]));
  const above = both.filter((index) => higher[index]! > lower[index]!).length;
  if (both.length < ENOUGH || above > 0.2 * both.length) return [];
  return [
    {
      kind: 'suspect-unit',
      severity: 'error',
      table: 'swings',
      row: null,
      column: relation.lower,
      found: `${relation.lower} is at least ${relation.higher} in ${both.length - above} of ${both.length} full swings`,
      expected: relation.why,
      remedy: `The columns look like ${relation.reads}. ${relation.remedy}`,
    },
  ];
}

function neverBelow(swings: Swings, relation: NeverBelow): Problem[] {
  if (!swings.has(relation.higher) || !swings.has(relation.lower)) return [];
  const [higher, lower] = [swings.numbers(relation.higher), swings.numbers(relation.lower)];
  const problems: Problem[] = [];
  for (let index = 0; index < swings.length; index += 1) {
    const [top, bottom] = [higher[index]!, lower[index]!];
    if (!(top < bottom - relation.tolerance)) continue;
    problems.push({
      kind: 'out-of-range',
      severity: 'warning',
      table: 'swings',
      row: swings.line(index),
      column: relation.higher,
      found: String(top),
      expected: `${relation.lower} (${bottom}) or more. ${relation.why}`,
      remedy: relation.remedy,
    });
  }
  return problems;
}

function difference(swings: Swings, relation: DifferenceOf): Problem[] {
  const { result, minuend, subtrahend } = relation;
  if (![result, minuend, subtrahend].every((column) => swings.has(column))) return [];
  const [r, a, b] = [swings.numbers(result), swings.numbers(minuend), swings.numbers(subtrahend)];
  const gaps = r.map((value, index) => Math.abs(value - (a[index]! - b[index]!))).filter(finite);
  const typical = median(gaps);
  if (gaps.length < ENOUGH || typical === null || typical <= relation.tolerance) return [];
  return [
    {
      kind: 'suspect-unit',
      severity: 'warning',
      table: 'swings',
      row: null,
      column: result,
      found: `a median of ${fewNumbers(typical)} away from ${minuend} minus ${subtrahend}`,
      expected: relation.why,
      remedy: relation.remedy,
    },
  ];
}

function ratio(swings: Swings, relation: RatioOf, full: readonly number[]): Problem[] {
  if (!swings.has(relation.numerator) || !swings.has(relation.denominator)) return [];
  const [top, bottom] = [swings.numbers(relation.numerator), swings.numbers(relation.denominator)];
  const ratios = Float64Array.from(
    full.filter((index) => Math.abs(bottom[index]!) >= relation.denominatorAtLeast && finite(top[index])),
    (index) => top[index]! / bottom[index]!,
  );
  const typical = median(ratios);
  if (ratios.length < ENOUGH || typical === null) return [];
  const band = relation.bands.find(({ between }) => typical >= between[0] && typical <= between[1]);
  if (band === undefined) return [];
  return [
    {
      kind: 'suspect-unit',
      severity: 'warning',
      table: 'swings',
      row: null,
      column: band.column,
      found: `${relation.numerator} divided by ${relation.denominator} has a median of ${fewNumbers(typical)} in ${ratios.length} full swings`,
      expected: `about ${relation.expected[0]} to ${relation.expected[1]}. ${relation.why}`,
      remedy: `${band.column} looks like ${band.reads}. ${band.remedy}`,
    },
  ];
}
