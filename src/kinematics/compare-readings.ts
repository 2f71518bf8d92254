import { isMetricColumn, type MetricColumn, metricByColumn } from './catalogue/index.ts';
import type { InstantKey, Measurement } from './measurement.ts';
import type { CaptureProblem } from './problem.ts';

/** Another way in which the same swing can be read, and the number it would then give. */
interface Misreading {
  readonly reads: string;
  readonly value: number;
  readonly remedy: string;
}

/** A number counts as another reading within this many standard deviations of the capture's. */
const SURE = 3;
const DEGREES = 180 / Math.PI;
/** 1 mile is 1609.344 m and 1 inch 2.54 cm, exactly. */
const [MPH, INCH] = [0.44704, 2.54];
/** Ball over club speed of a struck ball: check value of the rigid impulse model, 1.27 to 1.38, with room either way. */
const BALL_SPEED_RATIO = [1.15, 1.5] as const;

/**
 * Holds numbers that another device or program gave for a swing against what its capture gives, and says of each that
 * differs what it looks like: another unit, the opposite sign, the included angle, lean in the swing plane, an angle as seen in a
 * picture, a frame too many, ball speed for club speed. A column's own numbers cannot tell lean in the plane from lean in the
 * target plane, or a 2-D angle from one in space; the capture can.
 *
 * @param given by metric column; those that the capture does not give are passed over
 * @returns one problem for each number further than three standard deviations (and its rounding) from the measured one
 * @throws Error for a key that is no metric column
 * @example
 * // Seconds in place of milliseconds
 * compareReadings(measurement, { downswing_ms: 0.268 })[0]!.found // '0.268'
 */
export function compareReadings(
  measurement: Measurement,
  given: Readonly<Partial<Record<string, number>>>,
): CaptureProblem[] {
  return Object.entries(given).flatMap(([column, value]) => {
    if (!isMetricColumn(column))
      throw new Error(`compareReadings: there is no metric '${column}'. Give metric columns only.`);
    const measured = measurement.swing[column];
    if (value === undefined || measured === null || measured === undefined) return [];
    const { unit, decimals, label } = metricByColumn(column);
    const near = SURE * (measurement.swing[`${column}_sd`] ?? 0) + 0.5 * 10 ** -decimals;
    if (Math.abs(value - measured) <= near) return [];
    const distance = (other: Misreading): number => Math.abs(value - other.value);
    const likely = misreadings(measurement, column, measured)
      .filter((other) => distance(other) <= near * scaleOf(other.value, measured))
      .sort((a, b) => distance(a) - distance(b))[0];
    const ball = unit === 'm/s' && column === 'club_speed_mps' && isBallSpeed(value / measured);
    return [
      {
        where: column,
        found: `${value}`,
        expected: `${measured.toFixed(decimals)} ${unit} within ${near.toFixed(decimals + 1)} (${label}, from the capture)`,
        remedy: likely
          ? `It looks like ${likely.reads}. ${likely.remedy}`
          : ball
            ? 'It looks like ball speed. Put the speed of the club head in club_speed_mps; ball speed has its own column.'
            : 'No other unit, sign or definition that we know gives this number: check that it belongs to this swing.',
      },
    ];
  });
}

const isBallSpeed = (ratio: number): boolean => ratio >= BALL_SPEED_RATIO[0] && ratio <= BALL_SPEED_RATIO[1];

/** A number in another unit is uncertain by as much more or less as it is larger or smaller. */
function scaleOf(other: number, measured: number): number {
  return Math.abs(measured) > 0 ? Math.min(1, Math.abs(other / measured)) : 1;
}

function misreadings(measurement: Measurement, column: MetricColumn, value: number): Misreading[] {
  const { unit } = metricByColumn(column);
  const out: Misreading[] = [];
  const add = (reads: string, other: number | null | undefined, remedy: string): void => {
    if (other !== null && other !== undefined && Number.isFinite(other))
      out.push({ reads, value: other, remedy });
  };
  if (unit === 'deg') add('radians', value / DEGREES, 'Multiply it by 57.29578 to get degrees.');
  if (unit === 'deg/s')
    add('radians a second', value / DEGREES, 'Multiply it by 57.29578 to get degrees a second.');
  if (unit === 'm/s') add('miles an hour', value / MPH, 'Multiply it by 0.44704 to get metres a second.');
  if (unit === 'cm') {
    add('inches', value / INCH, 'Multiply it by 2.54 to get centimetres.');
    add('millimetres', value * 10, 'Divide it by 10 to get centimetres.');
  }
  if (unit === 'ms') {
    const frame = 1000 / measurement.processing.rateHz;
    add('seconds', value / 1000, 'Multiply it by 1000 to get milliseconds.');
    for (const by of [frame, -frame])
      add(
        'a count that is one frame off',
        value + by,
        'Count frames from the same first frame, between the same two.',
      );
  }
  if (value !== 0 && SIGNED.test(column))
    add('the opposite sign', -value, `Turn the sign round: ${metricByColumn(column).sign}.`);
  if (JOINTS.test(column)) add('the included angle', 180 - value, 'Replace it by 180 minus the value.');
  if (column === 'shaft_lean_impact_deg') {
    add(
      'the lean in the swing plane',
      measurement.quantities.shaft_lean_plane_impact_deg,
      'Use the lean seen from face on: tan(target) = tan(plane) / sin(inclination of the plane).',
    );
    add(
      'the angle of the shaft from the ground',
      90 - value,
      'Use the angle from vertical, 90 minus the value.',
    );
  }
  const seen = FACE_ON[column];
  if (seen)
    add(
      'a 2-D angle, as seen in a picture taken face on',
      measurement.perInstant[seen.at]?.[seen.key],
      'Use the angle in space, from points in three dimensions.',
    );
  return out;
}

const SIGNED =
  /^(shaft_lean|attack_angle|low_point|transition_elbow_change|pelvis_turn|thorax_turn|release_onset|elbow_extension_speed)/;
const JOINTS = /^(trail_elbow_flexion|lag)_/;

type Seen = { readonly at: 'top' | 'lead arm parallel' | 'delivery' | 'impact'; readonly key: InstantKey };
const bend = (at: Seen['at']): Seen => ({ at, key: 'trail_elbow_flexion_face_on_deg' });
const lag = (at: Seen['at']): Seen => ({ at, key: 'lag_face_on_deg' });
const FACE_ON: Readonly<Partial<Record<MetricColumn, Seen>>> = {
  trail_elbow_flexion_top_deg: bend('top'),
  trail_elbow_flexion_arm_parallel_deg: bend('lead arm parallel'),
  trail_elbow_flexion_impact_deg: bend('impact'),
  lag_top_deg: lag('top'),
  lag_delivery_deg: lag('delivery'),
  lag_impact_deg: lag('impact'),
};
