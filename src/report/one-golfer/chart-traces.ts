import type { GolferLimits, SessionPoint } from '../../studies/index.ts';
import { shortLabel } from '../escape.ts';
import type { Trace } from '../figure.ts';
import { formatCount, formatQuantity } from '../numbers.ts';
import { colour } from '../palette.ts';
import { conditionWords, signalWords } from './tables.ts';

/** How each condition looks. */
export const looks = {
  A: { color: colour.control, symbol: 'square', name: 'A: without' },
  B: { color: colour.drill, symbol: 'circle', name: 'B: with the training' },
  retention: { color: colour.third, symbol: 'diamond', name: 'later' },
} as const;

/** One golfer's chart: what is drawn and how numbers are told. */
export interface Chart {
  readonly golfer: string;
  readonly points: readonly SessionPoint[];
  readonly limits: GolferLimits | null;
  readonly unit: string;
  readonly decimals: number;
}

function told(point: SessionPoint, { unit, decimals }: Chart): string {
  const lines = [
    `${shortLabel(point.session, 40)}, ${point.date}`,
    `${conditionWords[point.condition]}: mean ${formatQuantity(point.mean, unit, decimals)} of ${formatCount(point.swings, 'full swing')}`,
  ];
  if (point.signals.length > 0) lines.push(point.signals.map((signal) => signalWords[signal]).join('; '));
  return lines.join('\n');
}

/** Values in the order of sessions, the line broken where the phase changes. */
export function valueTraces(chart: Chart): Trace[] {
  return (['A', 'B', 'retention'] as const).flatMap((condition): Trace[] => {
    const [x, y, hovertext]: [(number | null)[], (number | null)[], string[]] = [[], [], []];
    chart.points.forEach((point, i) => {
      if (point.condition !== condition) return;
      if (x.length > 0 && chart.points[i - 1]?.run !== point.run) {
        x.push(null);
        y.push(null);
        hovertext.push('');
      }
      x.push(point.order);
      y.push(point.mean);
      hovertext.push(told(point, chart));
    });
    if (x.length === 0) return [];
    const { color, symbol, name } = looks[condition];
    return [
      {
        type: 'scatter',
        mode: 'lines+markers',
        name,
        x,
        y,
        hovertext,
        marker: { color, size: 8, symbol },
        line: { color, width: 1.5 },
      },
    ];
  });
}

export function signalTrace({ points }: Chart): Trace[] {
  const signalling = points.filter(({ signals }) => signals.some((signal) => signal !== 'range'));
  if (signalling.length === 0) return [];
  return [
    {
      type: 'scatter',
      mode: 'markers',
      name: 'signal',
      x: signalling.map(({ order }) => order),
      y: signalling.map(({ mean }) => mean),
      marker: { color: colour.ink, size: 15, symbol: 'circle-open' },
      showlegend: false,
    },
  ];
}

export function rangeTrace(chart: Chart): Trace {
  const known = chart.points.filter(({ movingRange }) => movingRange !== null);
  return {
    type: 'scatter',
    mode: 'lines+markers',
    name: 'jump from the session before',
    x: known.map(({ order }) => order),
    y: known.map(({ movingRange }) => movingRange),
    hovertext: known.map(
      (point) =>
        `${shortLabel(point.session, 40)}\njump ${formatQuantity(point.movingRange, chart.unit, chart.decimals)}`,
    ),
    marker: { color: colour.soft, size: 6, symbol: 'circle' },
    line: { color: colour.soft, width: 1 },
    xaxis: 'x2',
    yaxis: 'y2',
    showlegend: false,
  };
}
