import type { MechanismPath, MechanismTables } from '../../studies/index.ts';
import { shortLabel } from '../escape.ts';
import type { Annotation, Shape } from '../figure.ts';
import { colour } from '../palette.ts';
import { wrapText } from '../text-width.ts';
import { labelFor } from './words.ts';

/** The drawing in px from the bottom; boxes stand in rows, arrows between them. */
export interface Box {
  readonly column: string;
  readonly left: number;
  readonly right: number;
  readonly bottom: number;
  readonly top: number;
}

const BOX = 58;

export const GAP = 74;

export function boxesOf({ predictor, mediator, outcome, paths }: MechanismTables): Box[] {
  const strikes = paths.filter(({ from }) => from === outcome.column).map(({ to }) => to);
  const rows: (readonly (readonly [string, number, number])[])[] = [
    strikes.map((strike, k) => [
      strike,
      (k * 100) / strikes.length + 1,
      ((k + 1) * 100) / strikes.length - 1,
    ]),
    [[outcome.column, 1, 99]],
    ...(mediator === null ? [] : [[[mediator.column, 36, 99]] as const]),
    [[predictor.column, 1, 99]],
  ];
  return rows
    .filter((row) => row.length > 0)
    .flatMap((row, k) =>
      row.map(([column, left, right]) => ({
        column,
        left,
        right,
        bottom: 4 + k * (BOX + GAP),
        top: 4 + k * (BOX + GAP) + BOX,
      })),
    );
}

export function shapeOf({ left, right, bottom, top }: Box): Shape {
  return {
    type: 'rect',
    x0: left,
    x1: right,
    y0: bottom,
    y1: top,
    xref: 'x',
    yref: 'y',
    layer: 'below',
    fillcolor: colour.raised,
    line: { color: colour.zoneEdge, width: 1 },
  };
}

/** What stands in a box: the number, and under it the step of it that the arrows from it are told for. */
export function nameOf(
  { column, left, right, bottom, top }: Box,
  paths: readonly MechanismPath[],
  narrow: boolean,
): Annotation[] {
  const size = narrow ? 11.5 : 13.5;
  const width = ((right - left) / 100) * (narrow ? 318 : 640) - 12;
  const step = paths.find(({ from }) => from === column)?.step;
  const middle = (bottom + top) / 2;
  const shared = {
    x: (left + right) / 2,
    xref: 'x',
    yref: 'y',
    showarrow: false,
    xanchor: 'center',
    yanchor: 'middle',
  } as const;
  const name: Annotation = {
    ...shared,
    text: wrapText(shortLabel(labelFor(column), 60), width, size),
    y: step === undefined ? middle : middle + 10,
    font: { size, color: colour.ink, weight: 600 },
  };
  if (step === undefined) return [name];
  const words: Annotation = {
    ...shared,
    text: shortLabel(`arrows for ${step}`, narrow ? 44 : 80),
    y: middle - 12,
    font: { size: size - 1.5, color: colour.soft, weight: 400 },
  };
  return [name, words];
}
