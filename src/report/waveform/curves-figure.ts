import type { Finding, WaveformTables } from '../../studies/index.ts';
import { curveFigure } from '../curve-figure.ts';
import type { Figure } from '../figure.ts';
import { formatNumber, formatQuantity } from '../numbers.ts';
import { meansTable, SHOWN_EVERY } from './tables.ts';

/** The mean curves that are compared, over the downswing. */
export function meansFigure(finding: Finding<WaveformTables>): Figure {
  const { tables, metric } = finding;
  const { axis, curves, nodes } = tables;
  const ends = curves.map(
    ({ name, values }) =>
      `${name}: ${formatQuantity(values[0], metric.unit, 0)} at first, ${formatQuantity(values.at(-1), metric.unit, 0)} at impact`,
  );
  const first = nodes[0]?.time ?? 0;
  return curveFigure({
    id: 'curves',
    title: 'The curves themselves',
    caption:
      axis.kind === 'registered'
        ? 'Means over golfers, each swing stretched so that its instants stand on their mean times.'
        : 'Means over golfers, each of them the mean of the golfer’s own swings.',
    description: `${metric.label} from ${axis.unit === '%' ? 'the top' : `${formatNumber(-first, 0)} ms before impact`} to impact. ${ends.join('; ')}.`,
    x: { label: axis.label, unit: axis.unit, values: nodes.map(({ time }) => time) },
    y: { label: metric.label, unit: metric.unit },
    curves: curves.map(({ name, values }) => ({ name, y: values })),
    marks: axis.marks,
    table: meansTable(finding, SHOWN_EVERY),
  });
}
