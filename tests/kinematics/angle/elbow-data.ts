import { readFileSync } from 'node:fs';
import { type AngleInput, type PointTable, readPoints } from '../../../src/kinematics/index.ts';

/** 700 rows of an arm that pushes a wheelchair; source and licence: tests/reference/angles/README.md. */
export const pushBytes = readFileSync(new URL('../../reference/angles/isb_elbow.csv', import.meta.url));

export const FIVE_POINTS = {
  shoulder: 'AcromionR',
  lateral_epicondyle: 'LateralEpicondyleR',
  medial_epicondyle: 'MedialEpicondyleR',
  radial_styloid: 'RadialStyloidR',
  ulnar_styloid: 'UlnarStyloidR',
};

export const THREE_POINTS = {
  shoulder: 'AcromionR',
  elbow: 'LateralEpicondyleR+MedialEpicondyleR',
  wrist: 'UlnarStyloidR',
};

export function tableOf(input: Partial<AngleInput> & Pick<AngleInput, 'definition' | 'points'>): PointTable {
  const read = readPoints({ csvBytes: pushBytes, ...input });
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  return read.value;
}

export const isbTable = (): PointTable => tableOf({ definition: 'isb-elbow', points: FIVE_POINTS });
export const threeTable = (): PointTable =>
  tableOf({ definition: 'three-point-elbow', points: THREE_POINTS });

/** A table of the columns S, E, W, three coordinates each. */
export function csvOf(rows: readonly (readonly (number | string)[])[], names = ['S', 'E', 'W']): Uint8Array {
  const header = names.flatMap((name) => ['x', 'y', 'z'].map((axis) => `${name}_${axis}`)).join(',');
  return new TextEncoder().encode([header, ...rows.map((row) => row.join(','))].join('\n'));
}
