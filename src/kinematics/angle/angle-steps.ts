import type { CaptureResult } from '../problem.ts';
import { type AngleDefinition, workAngle } from './definition.ts';
import { rowWithAngle } from './no-angle.ts';
import { armOf, type PointTable } from './point-table.ts';
import { ANGLE_SOURCES, type AngleStep } from './step.ts';

/** Every step from the points of one row to its angle, each with equation and source. */
export interface AngleSteps {
  readonly definition: AngleDefinition;
  /** Row of data, counted from 1. */
  readonly row: number;
  /** Name or names of the markers behind each role. */
  readonly points: Readonly<Record<string, string>>;
  /** Whether the points were mirrored first, being those of a left arm. */
  readonly mirrored: boolean;
  readonly steps: readonly AngleStep[];
  /** Full references of the sources that the steps name. */
  readonly sources: Readonly<Record<string, string>>;
}

/**
 * Every intermediate of the angle of one row, in order, each with its equation and its published source. They are the
 * very numbers from which the series is made.
 *
 * @param row counted from 1
 * @returns a problem where the table lacks the row, or the row gives no angle
 * @example
 * const worked = stepsOf(points, 51);
 * worked.ok && worked.value.row // 51
 */
export function stepsOf(table: PointTable, row: number): CaptureResult<AngleSteps> {
  const markers = rowWithAngle(table, row);
  if (!markers.ok) return markers;
  const steps = workAngle(table.definition, armOf(table, markers.value)).steps();
  const cited = Object.entries(ANGLE_SOURCES).filter(([name]) =>
    steps.some(({ source }) => source.includes(name)),
  );
  return {
    ok: true,
    value: {
      definition: table.definition,
      row,
      points: Object.fromEntries(
        Object.entries(table.namesOf).map(([role, names]) => [role, names.join(' + ')]),
      ),
      mirrored: table.side === 'left' && table.definition === 'isb-elbow',
      steps,
      sources: Object.fromEntries(cited),
    },
  };
}
