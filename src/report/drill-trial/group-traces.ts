import type { DrillTrialTables, Finding, GroupPhase } from '../../studies/index.ts';
import { shortLabel } from '../escape.ts';
import type { AxisId, Trace } from '../figure.ts';
import { formatCount, formatInterval, formatLevel, formatQuantity } from '../numbers.ts';
import type { ArmStyle } from './arms.ts';
import { phaseWords } from './phases.ts';

/** One arm's part of the figure. */
export interface GroupPanel {
  readonly style: ArmStyle;
  readonly x: AxisId<'x'>;
  readonly y: AxisId<'y'>;
}

/** How far to the right of full swings those at drill speed stand, in phases. */
const aside = 0.16;

function words(row: GroupPhase, unit: string, decimals: number): string {
  const interval =
    row.interval === null
      ? ''
      : `, ${formatLevel(row.level)} interval ${formatInterval(row.interval, unit, decimals, false)}`;
  return [
    `${shortLabel(row.arm, 40)}, ${phaseWords[row.phase]}${row.task === 'drill' ? ', at drill speed' : ''}`,
    `mean ${formatQuantity(row.mean, unit, decimals)}${interval}`,
    `${formatCount(row.golfers, 'golfer')}, ${formatCount(row.swings, 'swing')}`,
  ].join('\n');
}

/** The means of one arm and one kind of swing, with intervals over golfers. */
export function meanTrace(
  { style, x, y }: GroupPanel,
  rows: readonly GroupPhase[],
  shown: readonly string[],
  telling: { readonly unit: string; readonly decimals: number },
): Trace {
  const full = rows[0]?.task !== 'drill';
  return {
    type: 'scatter',
    mode: full ? 'lines+markers' : 'markers',
    name: `${style.label}: ${full ? 'mean, full swings' : 'mean at drill speed'}`,
    x: rows.map(({ phase }) => shown.indexOf(phase) + (full ? 0 : aside)),
    y: rows.map(({ mean }) => mean),
    hovertext: rows.map((row) => words(row, telling.unit, telling.decimals)),
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

/** A thin line for each golfer of the arm through his or her own means, broken between golfers. */
export function golferLines(
  finding: Finding<DrillTrialTables>,
  { style, x, y }: GroupPanel,
  shown: readonly string[],
): Trace {
  const [xs, ys]: [(number | null)[], (number | null)[]] = [[], []];
  for (const golfer of finding.tables.golfers) {
    if (golfer.arm !== style.arm) continue;
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
    name: `${style.label}: each golfer`,
    x: xs,
    y: ys,
    line: { color: style.color, width: 1 },
    opacity: 0.32,
    xaxis: x,
    yaxis: y,
    showlegend: false,
  };
}
