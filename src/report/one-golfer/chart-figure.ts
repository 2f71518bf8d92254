import type { Finding, OneGolferTables } from '../../studies/index.ts';
import { linearAxis } from '../axis.ts';
import type { Annotation, Axis, Figure, FigureLayout, Shape } from '../figure.ts';
import { decimalsFor, formatCount, formatNumber, formatQuantity, inUnit } from '../numbers.ts';
import { colour } from '../palette.ts';
import { type Chart, looks, rangeTrace, signalTrace, valueTraces } from './chart-traces.ts';
import { conditionWords, sessionTable } from './tables.ts';

/** Limits over all sessions, means of phases, and where phases begin. */
function shapesOf({ points, limits }: Chart, finding: Finding<OneGolferTables>, golfer: string): Shape[] {
  const across = (y: number, axis: 'y' | 'y2', dash: 'solid' | 'dash'): Shape => ({
    type: 'line',
    x0: 0,
    x1: 1,
    xref: axis === 'y' ? 'x domain' : 'x2 domain',
    y0: y,
    y1: y,
    yref: axis,
    layer: 'below',
    line: { color: colour.zoneEdge, width: 1, dash },
  });
  const starts = points.filter((point, i) => i > 0 && points[i - 1]!.run !== point.run);
  return [
    ...(limits === null
      ? []
      : [
          {
            type: 'rect' as const,
            x0: 0,
            x1: 1,
            xref: 'x domain' as const,
            y0: limits.low,
            y1: limits.high,
            yref: 'y' as const,
            fillcolor: colour.zone,
            layer: 'below' as const,
          },
          across(limits.low, 'y', 'dash'),
          across(limits.high, 'y', 'dash'),
          across(limits.centre, 'y', 'solid'),
          across(limits.rangeHigh, 'y2', 'dash'),
          across(limits.meanRange, 'y2', 'solid'),
        ]),
    ...starts.flatMap(({ order }): Shape[] =>
      (['x', 'x2'] as const).map((axis) => ({
        type: 'line',
        x0: order - 0.5,
        x1: order - 0.5,
        xref: axis,
        y0: 0,
        y1: 1,
        yref: axis === 'x' ? 'y domain' : 'y2 domain',
        layer: 'below',
        line: { color: colour.soft, width: 1, dash: 'dot' },
      })),
    ),
    ...finding.tables.phases
      .filter((phase) => phase.golfer === golfer)
      .map(({ run, mean, condition }): Shape => {
        const own = points.filter((point) => point.run === run);
        return {
          type: 'line',
          x0: own[0]!.order - 0.4,
          x1: own.at(-1)!.order + 0.4,
          xref: 'x',
          y0: mean,
          y1: mean,
          yref: 'y',
          layer: 'above',
          line: { color: looks[condition].color, width: 2.5 },
        };
      }),
  ];
}

function limitNotes({ limits }: Chart): Annotation[] {
  if (limits === null) return [];
  const note = (text: string, y: number, yref: 'y' | 'y2'): Annotation => ({
    text,
    x: 0.004,
    y,
    xref: yref === 'y' ? 'x domain' : 'x2 domain',
    yref,
    showarrow: false,
    xanchor: 'left',
    yanchor: 'top',
    yshift: -1,
    font: { size: 11, color: colour.soft },
  });
  return [note('limits of the baseline', limits.high, 'y'), note('limit of jumps', limits.rangeHigh, 'y2')];
}

function layoutOf(chart: Chart, finding: Finding<OneGolferTables>, narrow: boolean): FigureLayout {
  const { points, limits, unit } = chart;
  const last = Math.max(...points.map(({ order }) => order));
  const ticks = narrow ? 5 : 10;
  const orders: Axis = {
    ...linearAxis([1, last], { ticks }),
    range: [0.4, last + 0.6],
    showgrid: false,
  };
  const whole = orders.tickvals
    .map((value, i) => [value, orders.ticktext[i]!] as const)
    .filter(([value]) => Number.isInteger(value) && value >= 1 && value <= last);
  const shared = {
    ...orders,
    tickvals: whole.map(([value]) => value),
    ticktext: whole.map(([, text]) => text),
  };
  return {
    xaxis: { ...shared, ticktext: shared.tickvals.map(() => ''), anchor: 'y' },
    xaxis2: { ...shared, title: { text: 'Session, in order of date' }, anchor: 'y2' },
    yaxis: {
      ...linearAxis([...points.map(({ mean }) => mean), limits?.low ?? null, limits?.high ?? null], {
        title: `Session mean${inUnit(unit)}`,
      }),
      domain: [0.4, 1],
      anchor: 'x',
    },
    yaxis2: {
      ...linearAxis([0, ...points.map(({ movingRange }) => movingRange), limits?.rangeHigh ?? null], {
        title: `Jump from the session before${inUnit(unit)}`,
        ticks: 3,
      }),
      domain: [0, 0.26],
      anchor: 'x2',
    },
    shapes: shapesOf(chart, finding, chart.golfer),
    annotations: limitNotes(chart),
    height: narrow ? 470 : 480,
  };
}

function describe(chart: Chart, finding: Finding<OneGolferTables>): string {
  const { golfer, limits, unit, decimals, points } = chart;
  const phases = finding.tables.phases
    .filter((phase) => phase.golfer === golfer)
    .map(
      ({ condition, sessions, mean }) =>
        `${conditionWords[condition]}, ${formatCount(sessions, 'session')}: mean ${formatQuantity(mean, unit, decimals)}`,
    );
  const edges =
    limits === null
      ? 'There are too few baseline sessions for limits.'
      : `The baseline's limits run from ${formatNumber(limits.low, decimals)} to ${formatQuantity(limits.high, unit, decimals)}.`;
  const signals = points.filter((point) => point.signals.length > 0).length;
  return `${golfer}. ${phases.join('; ')}. ${edges} ${signals === 0 ? 'No session signals.' : `${formatCount(signals, 'session')} ${signals === 1 ? 'signals' : 'signal'}.`}`;
}

/** An individuals and moving-range chart of each golfer, with the limits of his or her first A phase. */
export function chartFigures(finding: Finding<OneGolferTables>): Figure[] {
  const { tables, metric } = finding;
  const golfers = [...new Set(tables.sessions.map(({ golfer }) => golfer))];
  return golfers.map((golfer, k) => {
    const points = tables.sessions.filter((point) => point.golfer === golfer);
    const means = points.map(({ mean }) => mean);
    const chart: Chart = {
      golfer,
      points,
      limits: tables.limits.find((own) => own.golfer === golfer) ?? null,
      unit: metric.unit,
      decimals: decimalsFor((Math.max(...means) - Math.min(...means)) / 10),
    };
    const rules =
      chart.limits === null
        ? 'With fewer than two baseline sessions there are no limits.'
        : 'Shaded: the limits of the first A phase (its mean, and 2.66 times its mean jump to both sides), within which nearly all sessions fall while nothing changes. Ringed: beyond a limit, or the eighth in a row on one side of the centre (Western Electric 1956).';
    return {
      id: golfers.length === 1 ? 'sessions' : `sessions-${k + 1}`,
      title: golfers.length === 1 ? `${golfer}, session by session` : golfer,
      caption:
        k > 0
          ? 'To be read like the first.'
          : `Each point is the mean of a session's full swings; thick lines are the means of phases, dotted lines where a phase begins. ${rules}`,
      description: describe(chart, finding),
      data: [...valueTraces(chart), ...signalTrace(chart), rangeTrace(chart)],
      layout: layoutOf(chart, finding, false),
      narrow: layoutOf(chart, finding, true),
      table: sessionTable(finding, golfer),
    };
  });
}
