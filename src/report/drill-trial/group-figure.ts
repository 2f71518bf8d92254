import type { DrillTrialTables, Finding, GroupPhase } from '../../studies/index.ts';
import { linearAxis } from '../axis.ts';
import { shortLabel } from '../escape.ts';
import type { Axis, AxisId, Figure, FigureLayout, Trace } from '../figure.ts';
import {
  decimalsFor,
  formatChange,
  formatCount,
  formatInterval,
  formatLevel,
  formatQuantity,
  unitSuffix,
} from '../numbers.ts';
import { type ArmStyle, armStyles } from './arms.ts';

const phases = ['baseline', 'training', 'post', 'retention'] as const;
const phaseWords = {
  baseline: 'before',
  training: 'in training',
  post: 'after',
  retention: 'later',
} as const;

interface Panel {
  readonly style: ArmStyle;
  readonly x: AxisId<'x'>;
  readonly y: AxisId<'y'>;
  readonly number: string;
}

const tail = (k: number): string => (k === 0 ? '' : String(k + 1));

/** Room of each of `count` rows or columns, with a gap between. */
function domains(count: number, gap: number): [number, number][] {
  const size = (1 - gap * (count - 1)) / count;
  return Array.from({ length: count }, (_, k) => [k * (size + gap), k * (size + gap) + size]);
}

function meanTrace(
  panel: Panel,
  rows: readonly GroupPhase[],
  task: 'full' | 'drill',
  place: (row: GroupPhase) => number,
  say: (row: GroupPhase) => string,
): Trace {
  const { style, x, y } = panel;
  const full = task === 'full';
  return {
    type: 'scatter',
    mode: full ? 'lines+markers' : 'markers',
    name: `${style.label}: ${full ? 'mean, full swings' : 'mean at drill speed'}`,
    x: rows.map((row) => place(row) + (full ? 0 : 0.16)),
    y: rows.map(({ mean }) => mean),
    hovertext: rows.map(say),
    marker: { color: style.color, size: full ? 10 : 8, symbol: full ? style.symbol : style.open },
    ...(full ? { line: { color: style.color, width: 2.5 } } : {}),
    error_y: {
      type: 'data',
      symmetric: false,
      array: rows.map(({ mean, interval }) => (interval === null ? 0 : interval[1] - mean)),
      arrayminus: rows.map(({ mean, interval }) => (interval === null ? 0 : mean - interval[0])),
      color: style.color,
      thickness: full ? 2.5 : 1.5,
      width: full ? 4 : 0,
    },
    xaxis: x,
    yaxis: y,
    showlegend: false,
  };
}

function golferTrace(finding: Finding<DrillTrialTables>, panel: Panel, shown: readonly string[]): Trace {
  const [xs, ys]: [(number | null)[], (number | null)[]] = [[], []];
  for (const golfer of finding.tables.golfers) {
    if (golfer.arm !== panel.style.arm) continue;
    const points = [
      ['baseline', golfer.before],
      ['post', golfer.after],
      ['retention', golfer.retention],
    ] as const;
    for (const [phase, value] of points) {
      if (value === null || !shown.includes(phase)) continue;
      xs.push(shown.indexOf(phase));
      ys.push(value);
    }
    xs.push(null);
    ys.push(null);
  }
  return {
    type: 'scatter',
    mode: 'lines',
    name: `${panel.style.label}: each golfer`,
    x: xs,
    y: ys,
    line: { color: panel.style.color, width: 1 },
    opacity: 0.32,
    xaxis: panel.x,
    yaxis: panel.y,
    showlegend: false,
  };
}

/** The mean of each group in each phase, with thin lines for its golfers, one panel for each arm. */
export function groupFigure(finding: Finding<DrillTrialTables>): Figure | null {
  const { groups, golfers } = finding.tables;
  const shown = phases.filter((phase) => groups.some((row) => row.phase === phase));
  const panels: Panel[] = armStyles(finding)
    .filter(({ arm }) => groups.some((row) => row.arm === arm))
    .map((style, k) => ({
      style,
      x: `x${tail(k)}` as AxisId<'x'>,
      y: `y${tail(k)}` as AxisId<'y'>,
      number: tail(k),
    }));
  if (shown.length === 0 || panels.length === 0) return null;
  const { metric } = finding;
  const values = [
    ...groups.flatMap(({ mean, interval }) => [mean, ...(interval ?? [])]),
    ...golfers.flatMap(({ before, after, retention }) => [before, after, retention]),
  ];
  const yAxis = linearAxis(values, { ticks: 6 });
  const decimals = decimalsFor((yAxis.range[1] - yAxis.range[0]) / 20);
  const place = ({ phase }: GroupPhase): number => shown.indexOf(phase);
  const say = (row: GroupPhase): string =>
    `${shortLabel(row.arm, 40)}, ${phaseWords[row.phase]}${row.task === 'drill' ? ', at drill speed' : ''}\n` +
    `mean ${formatQuantity(row.mean, metric.unit, decimals)}${row.interval === null ? '' : `, ${formatLevel(row.level)} interval ${formatInterval(row.interval, metric.unit, decimals, false)}`}\n` +
    `${formatCount(row.golfers, 'golfer')}, ${formatCount(row.swings, 'swing')}`;
  const rowsOf = (arm: string, task: 'full' | 'drill'): GroupPhase[] =>
    groups.filter((row) => row.arm === arm && row.task === task).sort((a, b) => place(a) - place(b));
  const data = panels.flatMap((panel) => {
    const slow = rowsOf(panel.style.arm, 'drill');
    return [
      golferTrace(finding, panel, shown),
      ...(slow.length === 0 ? [] : [meanTrace(panel, slow, 'drill', place, say)]),
      meanTrace(panel, rowsOf(panel.style.arm, 'full'), 'full', place, say),
    ];
  });
  const layout = (columns: number): FigureLayout => {
    const rows = Math.ceil(panels.length / columns);
    const across = domains(columns, 0.06);
    const down = domains(rows, rows === 1 ? 0 : 0.32 / rows).reverse();
    const axes: Record<`xaxis${number}` | `yaxis${number}`, Axis> = {};
    for (const [k, { x, y, number }] of panels.entries()) {
      const [column, row] = [k % columns, Math.floor(k / columns)];
      axes[`xaxis${number}` as `xaxis${number}`] = {
        range: [-0.3, shown.length - 0.7],
        tickvals: shown.map((_, j) => j),
        ticktext: shown.map((phase) => phaseWords[phase]),
        showgrid: false,
        domain: across[column] ?? [0, 1],
        anchor: y,
      };
      axes[`yaxis${number}` as `yaxis${number}`] = {
        ...yAxis,
        ...(column === 0 ? {} : { ticktext: yAxis.tickvals.map(() => '') }),
        domain: down[row] ?? [0, 1],
        anchor: x,
      };
    }
    return {
      ...axes,
      annotations: panels.map(({ style, x, y }) => ({
        text: `${style.label}${unitSuffix(metric.unit) === '' ? '' : ` (${unitSuffix(metric.unit).trim()})`}`,
        x: 0,
        y: 1,
        xref: `${x} domain` as const,
        yref: `${y} domain` as const,
        showarrow: false as const,
        xanchor: 'left' as const,
        yanchor: 'bottom' as const,
        yshift: 8,
        font: { size: 13, color: style.color, weight: 600 as const },
      })),
      height: 70 + rows * 300,
      showlegend: false,
    } as unknown as FigureLayout;
  };
  const told = panels.map(({ style }) => {
    const means = rowsOf(style.arm, 'full').map(
      (row) => `${phaseWords[row.phase]} ${formatQuantity(row.mean, metric.unit, decimals)}`,
    );
    const [before, after] = ['baseline', 'post'].map((phase) =>
      rowsOf(style.arm, 'full').find((row) => row.phase === phase),
    );
    const moved =
      before === undefined || after === undefined
        ? ''
        : ` (after less before: ${formatChange(after.mean - before.mean, decimals)}${unitSuffix(metric.unit)})`;
    return `${style.label}: ${means.join(', ')}${moved}.`;
  });
  const level = groups.find(({ interval }) => interval !== null)?.level;
  const anySlow = groups.some(({ task }) => task === 'drill');
  return {
    id: 'groups',
    title: 'Before and after, by group',
    caption: `Thick: the mean over golfers${level === undefined ? '' : ` with its ${formatLevel(level)} interval`}. Thin: one line for each golfer’s own means. ${anySlow ? 'Open points: swings at drill speed. ' : ''}Full swings otherwise.`,
    description: `${metric.label}. ${told.join(' ')}`,
    data,
    layout: layout(panels.length === 1 ? 1 : 2),
    narrow: layout(1),
    table: {
      columns: [
        { key: 'arm', label: 'arm' },
        { key: 'phase', label: 'phase' },
        { key: 'task', label: 'swings' },
        { key: 'golfers', label: 'golfers' },
        { key: 'swings', label: 'number of swings' },
        { key: 'mean', label: 'mean', unit: metric.unit },
        { key: 'low', label: 'low', unit: metric.unit },
        { key: 'high', label: 'high', unit: metric.unit },
      ],
      rows: groups.map(({ arm, phase, task, golfers: n, swings, mean, interval }) => ({
        arm,
        phase: phaseWords[phase],
        task: task === 'full' ? 'full' : 'at drill speed',
        golfers: n,
        swings,
        mean,
        low: interval?.[0] ?? null,
        high: interval?.[1] ?? null,
      })),
    },
  };
}
