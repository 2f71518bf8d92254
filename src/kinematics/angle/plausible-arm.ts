import { median } from '../../numerics/index.ts';
import { METRES_PER_UNIT } from '../layout/layout.ts';
import type { CaptureProblem } from '../problem.ts';
import { workAngle } from './definition.ts';
import { armOf, type LengthUnit, type PointTable } from './point-table.ts';

/** An upper arm, from a child's to a tall adult's, m. */
const UPPER_ARM_M = [0.15, 0.5] as const;
/** Overextension beyond this is no elbow's, deg. */
const BACKWARDS_DEG = -30;
/** A bone's length between skin markers varies by less than this share of it over the middle nine tenths of rows. */
const LARGEST_CHANGE = 0.25;
/** Fewest rows that say anything about how much a length varies. */
const FEWEST_ROWS = 10;

/** The unit in which the upper arm has the length of an arm: metres, centimetres or millimetres, or null. */
export function inferUnit(table: PointTable): LengthUnit | null {
  const usual = median(lengthsOf(table).map(({ upperArm }) => upperArm));
  if (usual === null) return null;
  const [shortest, longest] = UPPER_ARM_M;
  return (
    (['m', 'cm', 'mm'] as const).find((unit) => {
      const metres = usual * METRES_PER_UNIT[unit];
      return metres >= shortest && metres <= longest;
    }) ?? null
  );
}

/** The problem of an ISB elbow that bends backwards in most rows, as a left arm does that was not mirrored. */
export function backwardsElbow(table: PointTable): CaptureProblem | null {
  if (table.definition !== 'isb-elbow') return null;
  const usual = median(worked(table).map(({ flexion_deg }) => flexion_deg));
  if (usual === null || usual >= BACKWARDS_DEG) return null;
  const other = table.side === 'right' ? 'left' : 'right';
  return {
    where: 'points',
    found: `an elbow that in most rows bends backwards, by ${(-usual).toFixed(0)} deg in the middle one`,
    expected: `the five points of a ${table.side} arm`,
    remedy: `If it is a ${other} arm, say so (side ${other}) so that it is mirrored; if not, look whether lateral and medial epicondyle, and radial and ulnar styloid, are exchanged.`,
  };
}

/** Warnings about segments whose length changes as no bone's does. */
export function lengthWarnings(table: PointTable): string[] {
  const lengths = lengthsOf(table);
  if (lengths.length < FEWEST_ROWS) return [];
  return (['upperArm', 'forearm'] as const).flatMap((segment) => {
    const sorted = lengths.map((row) => row[segment]).sort((a, b) => a - b);
    const at = (share: number): number => sorted[Math.round(share * (sorted.length - 1))]!;
    if (at(0.95) - at(0.05) <= LARGEST_CHANGE * at(0.5)) return [];
    const name = segment === 'upperArm' ? 'upper arm' : 'forearm';
    return [
      `The ${name}, which should keep its length, runs from ${at(0.05).toPrecision(3)} to ${at(0.95).toPrecision(3)} in the middle nine tenths of the rows: markers that were swapped or jumped, or columns that are not positions (angles in degrees, say).`,
    ];
  });
}

const worked = (table: PointTable) =>
  table.rows
    .map((markers) => workAngle(table.definition, armOf(table, markers)))
    .filter(({ flexion_deg }) => !Number.isNaN(flexion_deg));

const lengthsOf = (table: PointTable) => worked(table).map(({ lengths }) => lengths);
