import { angleBetween } from '../geometry/angles.ts';
import { cross, type Vector } from '../geometry/vector.ts';
import type { CaptureResult } from '../problem.ts';
import { spreadOf, whyThreePoint, whyView, whyWrist } from './compare-words.ts';
import { type IsbElbow, type IsbElbowPoints, isbElbow } from './isb-elbow.ts';
import { whyNoAngle } from './no-angle.ts';
import { armOf, type PointTable } from './point-table.ts';
import { threePointElbow } from './three-point-elbow.ts';

/** One row under every definition, deg; null where its points give no angle. */
export interface ComparedRow {
  readonly row: number;
  readonly isb_flexion_deg: number | null;
  readonly isb_carrying_deg: number | null;
  readonly three_point_ulnar_deg: number | null;
  readonly three_point_wrist_deg: number | null;
  readonly seen_along_x_deg: number | null;
  readonly seen_along_y_deg: number | null;
  readonly seen_along_z_deg: number | null;
}

/** How one definition differs from ISB flexion over the rows that have both. */
export interface ComparedDefinition {
  readonly column: Exclude<keyof ComparedRow, 'row' | 'isb_flexion_deg' | 'isb_carrying_deg'>;
  readonly label: string;
  readonly equation: string;
  /** Of this definition minus ISB flexion, deg. */
  readonly mean_deg: number;
  readonly sd_deg: number;
  readonly largest_deg: number;
  readonly largestRow: number;
  readonly why: string;
}

/** Other definitions of elbow flexion beside that of the ISB, row by row in degrees, and why they differ. */
export interface ElbowComparison {
  readonly against: 'isb_flexion_deg';
  readonly rows: readonly ComparedRow[];
  readonly definitions: readonly ComparedDefinition[];
}

/** What the definitions make of one row, with what explains how they differ. */
export interface ElbowViews {
  readonly row: number;
  readonly isb: IsbElbow;
  readonly ulnar_deg: number;
  readonly wrist_deg: number;
  /** Between the forearm lines to the ulnar styloid and to the middle of the styloids. */
  readonly forearmTurn_deg: number;
  /** Three-point angle as a camera sees it that looks along each axis of the table. */
  readonly seen_deg: Vector;
  /** How far the plane of the arm is turned out of each such picture, 0 to 90. */
  readonly outOfPicture_deg: Vector;
}

/**
 * The elbow of one capture under several definitions side by side: ISB flexion (Wu et al. 2005), the three-point angle
 * with the forearm ending at the ulnar styloid or at the middle of the wrist, and that angle as flat pictures along the
 * axes of the table show it. Each is set against ISB flexion: how much, how variable, where most, and why, in words
 * made from the numbers.
 *
 * @param table points of the definition isb-elbow
 * @returns a problem where the table is of another definition, or no row gives an angle
 * @example
 * const compared = compareElbows(points);
 * compared.ok && compared.value.against // 'isb_flexion_deg'
 * compared.ok && compared.value.rows.length // 300
 */
export function compareElbows(table: PointTable): CaptureResult<ElbowComparison> {
  const views = table.rows.flatMap((markers, k) =>
    table.definition === 'isb-elbow' && whyNoAngle(table, markers) === null
      ? [viewsOf(armOf(table, markers) as unknown as IsbElbowPoints, k + 1)]
      : [],
  );
  if (views.length === 0) return { ok: false, problems: [nothingToCompare(table)] };
  const byRow = new Map(views.map((view) => [view.row, view]));
  return {
    ok: true,
    value: {
      against: 'isb_flexion_deg',
      rows: table.rows.map((_, k) => comparedRow(k + 1, byRow.get(k + 1))),
      definitions: [
        {
          column: 'three_point_ulnar_deg',
          label: 'three points, forearm to the ulnar styloid',
          equation: '180 - angle(S - E, U - E)',
          ...against(views, (view) => view.ulnar_deg),
          why: whyThreePoint(views),
        },
        {
          column: 'three_point_wrist_deg',
          label: 'three points, forearm to the middle of the wrist',
          equation: '180 - angle(S - E, (A + U) / 2 - E)',
          ...against(views, (view) => view.wrist_deg),
          why: whyWrist(views),
        },
        ...(['x', 'y', 'z'] as const).map((axis, k) => ({
          column: `seen_along_${axis}_deg` as const,
          label: `three points in a flat picture taken along ${axis}`,
          equation: `the same to the ulnar styloid, with every ${axis} set to 0`,
          ...against(views, (view) => view.seen_deg[k]!),
          why: whyView(views, axis, k),
        })),
      ],
    },
  };
}

function viewsOf(points: IsbElbowPoints, row: number): ElbowViews {
  const isb = isbElbow(points);
  const { shoulder, radial_styloid: a, ulnar_styloid: u } = points;
  const wrist: Vector = [(a[0] + u[0]) / 2, (a[1] + u[1]) / 2, (a[2] + u[2]) / 2];
  const ulnar = threePointElbow({ shoulder, elbow: isb.elbow, wrist: u });
  const middle = threePointElbow({ shoulder, elbow: isb.elbow, wrist });
  const normal = cross(ulnar.upperArm, ulnar.forearm);
  const alongAxes = (f: (axis: Vector, k: number) => number): Vector => [
    f([1, 0, 0], 0),
    f([0, 1, 0], 1),
    f([0, 0, 1], 2),
  ];
  const flat = (v: Vector, k: number): Vector => v.map((c, i) => (i === k ? 0 : c)) as unknown as Vector;
  return {
    row,
    isb,
    ulnar_deg: ulnar.flexion_deg,
    wrist_deg: middle.flexion_deg,
    forearmTurn_deg: angleBetween(ulnar.forearm, middle.forearm),
    seen_deg: alongAxes((_, k) => angleBetween(flat(ulnar.upperArm, k), flat(ulnar.forearm, k))),
    outOfPicture_deg: alongAxes((axis) => {
      const between = angleBetween(normal, axis);
      return Math.min(between, 180 - between);
    }),
  };
}

function comparedRow(row: number, view: ElbowViews | undefined): ComparedRow {
  const [x, y, z] = view?.seen_deg ?? [null, null, null];
  return {
    row,
    isb_flexion_deg: view?.isb.flexion_deg ?? null,
    isb_carrying_deg: view?.isb.carrying_deg ?? null,
    three_point_ulnar_deg: view?.ulnar_deg ?? null,
    three_point_wrist_deg: view?.wrist_deg ?? null,
    seen_along_x_deg: x,
    seen_along_y_deg: y,
    seen_along_z_deg: z,
  };
}

function against(
  views: readonly ElbowViews[],
  read: (view: ElbowViews) => number,
): Pick<ComparedDefinition, 'mean_deg' | 'sd_deg' | 'largest_deg' | 'largestRow'> {
  const differences = views.map((view) => read(view) - view.isb.flexion_deg);
  const most = differences.reduce((at, d, k) => (Math.abs(d) > Math.abs(differences[at]!) ? k : at), 0);
  const { mean, sd } = spreadOf(differences);
  return { mean_deg: mean, sd_deg: sd, largest_deg: differences[most]!, largestRow: views[most]!.row };
}

function nothingToCompare({ definition }: PointTable) {
  return definition === 'isb-elbow'
    ? {
        where: 'points',
        found: 'no row that gives an angle',
        expected: 'a row in which all five points were seen, not on one line',
        remedy: 'Look at the reasons in the series.',
      }
    : {
        where: 'definition',
        found: definition,
        expected: 'isb-elbow, whose five points serve every definition',
        remedy: 'Ask for the comparison with the definition isb-elbow and its five points.',
      };
}
