import type { MechanismTables } from '../../studies/index.ts';
import type { Axis, Figure, FigureLayout } from '../figure.ts';
import { formatLevel } from '../numbers.ts';
import { arrowOf, labelOf, told } from './path-arrows.ts';
import { boxesOf, nameOf, shapeOf } from './path-boxes.ts';
import { labelFor } from './words.ts';

/** The arrows from elbow to strike with what goes along each; null where there is no arrow. */
export function pathFigure(tables: MechanismTables, level: number): Figure | null {
  const { paths } = tables;
  if (paths.length === 0) return null;
  const boxes = boxesOf(tables);
  const height = Math.max(...boxes.map(({ top }) => top)) + 6;
  const axis = (range: readonly [number, number]): Axis => ({
    range,
    tickvals: [],
    ticktext: [],
    showgrid: false,
    zeroline: false,
  });
  const layout = (narrow: boolean): FigureLayout => ({
    xaxis: axis([0, 100]),
    yaxis: axis([0, height]),
    shapes: boxes.map(shapeOf),
    annotations: [
      ...boxes.flatMap((box) => nameOf(box, paths, narrow)),
      ...paths.flatMap((path) => labelOf(path, boxes, narrow)),
    ],
    height: height + 40,
    showlegend: false,
  });
  return {
    id: 'paths',
    title: 'The arrows, inside golfers',
    caption: `What goes along each arrow when a swing is compared with other swings of the same golfer, the things before it held; in brackets the ${formatLevel(level)} interval. A dashed arrow cannot be told from none. The arrows are taken for granted, not shown by the data: the list of what would make them wrong stands below.`,
    description: paths
      .map((path) => `${labelFor(path.from)} to ${labelFor(path.to)}: ${told(path)} with ${path.step}`)
      .join('. ')
      .concat('.'),
    data: paths.flatMap((path) => arrowOf(path, boxes)),
    layout: layout(false),
    narrow: layout(true),
    table: {
      columns: [
        { key: 'from', label: 'from' },
        { key: 'to', label: 'to' },
        { key: 'step', label: 'with' },
        { key: 'value', label: 'goes along' },
        { key: 'low', label: 'low' },
        { key: 'high', label: 'high' },
        { key: 'unit', label: 'unit' },
      ],
      rows: paths.map(({ from, to, step, value, interval, unit }) => ({
        from: labelFor(from),
        to: labelFor(to),
        step,
        value,
        low: interval?.[0] ?? null,
        high: interval?.[1] ?? null,
        unit,
      })),
    },
  };
}
