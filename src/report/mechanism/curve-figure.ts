import type { MechanismCurve, MechanismTables } from '../../studies/index.ts';
import { linearAxis } from '../axis.ts';
import type { Figure, FigureLayout, Shape } from '../figure.ts';
import { formatNumber, inUnit, unitSuffix } from '../numbers.ts';
import { colour } from '../palette.ts';
import { labelFor, stepDecimals } from './words.ts';

/** A strike over the outcome, where it turns; one figure for each strike whose turning point the data show. */
export function curveFigures({ curves, outcome }: MechanismTables): Figure[] {
  return curves
    .filter(({ curved, points }) => curved && points.length > 1)
    .map((curve) => curveFigure(curve, outcome));
}

function curveFigure(
  { strike, kind, points, turn, turnKind }: MechanismCurve,
  outcome: MechanismTables['outcome'],
): Figure {
  const edge = Math.max(...points.map(({ value }) => (turnKind === 'highest' ? value : -value)));
  const values = points.map(({ value }) => value - (turnKind === 'highest' ? edge : -edge));
  const [first, last] = [points[0]!.at, points.at(-1)!.at];
  const decimals = stepDecimals(turn);
  const unit = unitSuffix(outcome.unit);
  const range =
    turn.interval === null
      ? ''
      : ` (${formatNumber(turn.interval[0], decimals)} to ${formatNumber(turn.interval[1], decimals)}${unit})`;
  const place = `${formatNumber(turn.value, decimals)}${unit}${range}`;
  const what = {
    number: labelFor(strike),
    ordinal: `${labelFor(strike)}, log odds of better`,
    'yes-no': `${labelFor(strike)}, log odds of yes`,
  }[kind];
  const band: Shape[] =
    turn.interval === null
      ? []
      : [
          {
            type: 'rect',
            x0: Math.max(first, turn.interval[0]),
            x1: Math.min(last, turn.interval[1]),
            y0: 0,
            y1: 1,
            xref: 'x',
            yref: 'y domain',
            layer: 'below',
            fillcolor: colour.zone,
          },
        ];
  const layout = (narrow: boolean): FigureLayout => ({
    xaxis: linearAxis([first, last], {
      title: `${outcome.label}${inUnit(outcome.unit)}`,
      ticks: narrow ? 4 : 7,
    }),
    yaxis: linearAxis(values, { title: `${what}, less its ${turnKind}` }),
    shapes: band,
    height: narrow ? 320 : 340,
    showlegend: false,
  });
  return {
    id: `curve-${strike.replaceAll('_', '-')}`,
    title: `Where more ${outcome.label} stops helping: ${labelFor(strike)}`,
    caption: `The curve inside golfers, the same for all; it is at its ${turnKind} at ${place}, shaded. It is drawn over the span that holds 95% of the swings, and says nothing beyond.`,
    description: `${labelFor(strike)} over ${outcome.label} from ${formatNumber(first, 1)} to ${formatNumber(last, 1)}${unit}: ${turnKind} at ${place}.`,
    data: [
      {
        type: 'scatter',
        mode: 'lines',
        name: labelFor(strike),
        x: points.map(({ at }) => at),
        y: values,
        hovertext: points.map(({ at }, k) => `${formatNumber(at, 1)}${unit}\n${formatNumber(values[k], 2)}`),
        line: { color: colour.drill, width: 3 },
        showlegend: false,
      },
    ],
    layout: layout(false),
    narrow: layout(true),
    table: {
      columns: [
        { key: 'at', label: outcome.label, unit: outcome.unit },
        { key: 'value', label: what },
      ],
      rows: points.map(({ at }, k) => ({ at, value: values[k]! })),
    },
  };
}
