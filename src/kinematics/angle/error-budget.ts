import { NEARLY_STRAIGHT_DEG } from '../geometry/isb-frames.ts';
import { METRES_PER_UNIT } from '../layout/layout.ts';
import type { CaptureProblem, CaptureResult } from '../problem.ts';
import { workAngle } from './definition.ts';
import { rowWithAngle } from './no-angle.ts';
import { armOf, type Markers, type PointTable } from './point-table.ts';

/** What one coordinate of one marker adds to the uncertainty of an angle. */
export interface BudgetEntry {
  readonly marker: string;
  readonly axis: 'x' | 'y' | 'z';
  /** How far the angle moves when the marker moves along the axis of the table. */
  readonly slope_deg_per_mm: number;
  /** |slope| times the noise, deg. */
  readonly sd_deg: number;
  /** Its part of the variance; the parts of an angle sum to 1. */
  readonly share: number;
}

/** How noise of the markers reaches one angle, part by part. */
export interface AngleBudget {
  readonly angle: string;
  readonly value_deg: number;
  /** First order: root of the sum of the squared parts, deg. */
  readonly sd_deg: number;
  /** Second order: how far noise of this size moves the mean of the angle, deg. */
  readonly bias_deg: number;
  /** False where the bias is no longer small against the SD, so that the first order does not tell the noise. */
  readonly firstOrderHolds: boolean;
  readonly entries: readonly BudgetEntry[];
}

/** The error budget of every angle of one row, for markers whose coordinates each scatter with an SD of `noise_mm`. */
export interface ErrorBudget {
  readonly row: number;
  readonly noise_mm: number;
  /** Within 20 deg of straight, where the plane in which the elbow bends is left to noise. */
  readonly nearlyStraight: boolean;
  readonly angles: readonly AngleBudget[];
}

/** Bias as a share of the SD from which the first order no longer holds. */
const LARGEST_BIAS = 0.2;
/** Half the span of the differences: small against an arm, large against rounding. */
const STEP_MM = 0.1;
const AXES = ['x', 'y', 'z'] as const;

/**
 * What marker noise does to the angles of one row: first-order propagation, var = sum over markers and axes of
 * (d angle / d coordinate)^2 noise^2, each coordinate of each marker being off by itself. A marker that serves two
 * roles counts once. The slopes are central differences of the angle itself.
 *
 * @param row counted from 1
 * @param noise_mm standard deviation of each coordinate of each marker
 * @returns problems: a row that the table lacks or that gives no angle, a noise that is no length, an unknown unit
 * @see Joint Committee for Guides in Metrology (2008) Guide to the expression of uncertainty in measurement, 5.1.2
 * @example
 * const budget = budgetOf(points, 51, 1);
 * budget.ok && budget.value.angles.map(({ angle }) => angle) // ['flexion_deg', 'carrying_deg', 'pronation_deg']
 */
export function budgetOf(table: PointTable, row: number, noise_mm: number): CaptureResult<ErrorBudget> {
  const perMm = unitsPerMm(table, noise_mm);
  if (!perMm.ok) return perMm;
  const picked = rowWithAngle(table, row);
  if (!picked.ok) return picked;
  const { flexion_deg } = workAngle(table.definition, armOf(table, picked.value));
  return {
    ok: true,
    value: {
      row,
      noise_mm,
      nearlyStraight: Math.abs(flexion_deg) < NEARLY_STRAIGHT_DEG,
      angles: budgets(table, picked.value, noise_mm, perMm.value),
    },
  };
}

/** The first-order SD of every angle of a row, under the angle's name, for a noise of the given size. */
export function markerSds(
  table: PointTable,
  noise_mm: number,
): CaptureResult<(markers: Markers) => Readonly<Record<string, number>>> {
  const perMm = unitsPerMm(table, noise_mm);
  if (!perMm.ok) return perMm;
  return {
    ok: true,
    value: (markers) =>
      Object.fromEntries(
        budgets(table, markers, noise_mm, perMm.value).map(({ angle, sd_deg }) => [angle, sd_deg]),
      ),
  };
}

function budgets(table: PointTable, markers: Markers, noise_mm: number, perMm: number): AngleBudget[] {
  const anglesAt = (name: string, axis: number, by_mm: number): Readonly<Record<string, number>> => {
    const moved = [...markers.get(name)!] as [number, number, number];
    moved[axis] = moved[axis]! + by_mm * perMm;
    return workAngle(table.definition, armOf(table, new Map(markers).set(name, moved))).angles;
  };
  const { angles } = workAngle(table.definition, armOf(table, markers));
  // Of a mirrored arm the third axis runs the other way than in the table.
  const sign = (axis: number): number => (axis === 2 && table.side === 'left' ? -1 : 1);
  const names = Object.keys(angles);
  const parts = names.map(
    (): { marker: string; axis: 'x' | 'y' | 'z'; slope: number; curve: number }[] => [],
  );
  for (const marker of table.names)
    for (const [k, axis] of AXES.entries()) {
      const [ahead, behind] = [anglesAt(marker, k, STEP_MM), anglesAt(marker, k, -STEP_MM)];
      const [far, back] = [anglesAt(marker, k, noise_mm), anglesAt(marker, k, -noise_mm)];
      for (const [n, name] of names.entries()) {
        const at = angles[name]!;
        parts[n]!.push({
          marker,
          axis,
          slope: (sign(k) * shortWay(ahead[name]! - behind[name]!)) / (2 * STEP_MM),
          // Half the second difference at the size of the noise: this coordinate's part in the bias.
          curve: (shortWay(far[name]! - at) + shortWay(back[name]! - at)) / 2,
        });
      }
    }
  return names.map((angle, n) => budget(angle, angles[angle]!, parts[n]!, noise_mm));
}

function budget(
  angle: string,
  value_deg: number,
  parts: readonly { marker: string; axis: 'x' | 'y' | 'z'; slope: number; curve: number }[],
  noise_mm: number,
): AngleBudget {
  const variance = parts.reduce((sum, { slope }) => sum + (slope * noise_mm) ** 2, 0);
  const sd_deg = Math.sqrt(variance);
  const bias_deg = parts.reduce((sum, { curve }) => sum + curve, 0);
  return {
    angle,
    value_deg,
    sd_deg,
    bias_deg,
    firstOrderHolds: Math.abs(bias_deg) <= LARGEST_BIAS * sd_deg,
    entries: parts.map(({ marker, axis, slope }) => ({
      marker,
      axis,
      slope_deg_per_mm: slope,
      sd_deg: Math.abs(slope) * noise_mm,
      share: variance === 0 ? 0 : (slope * noise_mm) ** 2 / variance,
    })),
  };
}

/** Units of the table in a millimetre. */
function unitsPerMm(table: PointTable, noise_mm: number): CaptureResult<number> {
  if (!(noise_mm > 0 && noise_mm < 1000))
    return refused(
      'noise',
      `${noise_mm} mm`,
      'a length above 0 and below 1000 mm',
      'Give the SD of a marker in mm.',
    );
  if (table.unit === null)
    return refused(
      'unit',
      'a table whose columns name no unit of length, and an upper arm that has the length of an arm in none',
      'm, cm, mm or in',
      'Give the unit of the table, or write it behind the axes: NAME_x_mm.',
    );
  return { ok: true, value: 0.001 / METRES_PER_UNIT[table.unit.unit] };
}

/** A small difference of two angles that lie on either side of 180 degrees is small. */
function shortWay(difference: number): number {
  return difference - 360 * Math.round(difference / 360);
}

function refused(
  where: string,
  found: string,
  expected: string,
  remedy: string,
): { ok: false; problems: CaptureProblem[] } {
  return { ok: false, problems: [{ where, found, expected, remedy }] };
}
