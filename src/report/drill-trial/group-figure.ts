import type { DrillTrialTables, Finding, GroupPhase } from '../../studies/index.ts';
import { linearAxis } from '../axis.ts';
import type { Annotation, Axis, AxisId, Figure, FigureLayout } from '../figure.ts';
import { decimalsFor, formatChange, formatLevel, formatQuantity, inUnit, unitSuffix } from '../numbers.ts';
import { armStyles } from './arms.ts';
import { designWords } from './design-words.ts';
import { type GroupPanel, golferLines, meanTrace } from './group-traces.ts';
import { phases, phaseWords } from './phases.ts';
import { groupTable } from './tables.ts';

type Phase = (typeof phases)[number];

/** Room of each of `count` rows or columns, with a gap between. */
function domains(count: number, gap: number): [number, number][] {
  const size = (1 - gap * (count - 1)) / count;
  return Array.from({ length: count }, (_, k) => [k * (size + gap), k * (size + gap) + size]);
}

function panelTitle({ style, x, y }: GroupPanel, unit: string): Annotation {
  return {
    text: `${style.label}${inUnit(unit)}`,
    x: 0,
    y: 1,
    xref: `${x} domain`,
    yref: `${y} domain`,
    showarrow: false,
    xanchor: 'left',
    yanchor: 'bottom',
    yshift: 8,
    font: { size: 13, color: style.color, weight: 600 },
  };
}

/** Panels in `columns`, all on one scale; the scale is written at the left only. */
function layoutOf(
  panels: readonly GroupPanel[],
  shown: readonly Phase[],
  scale: Axis,
  unit: string,
  columns: number,
): FigureLayout {
  const rows = Math.ceil(panels.length / columns);
  const across = domains(columns, 0.06);
  const down = domains(rows, 0.32 / rows).reverse();
  const xAxis = ({ y }: GroupPanel, k: number): Axis => ({
    range: [-0.3, shown.length - 0.7],
    tickvals: shown.map((_, j) => j),
    ticktext: shown.map((phase) => phaseWords[phase]),
    showgrid: false,
    domain: across[k % columns] ?? [0, 1],
    anchor: y,
  });
  const yAxis = ({ x }: GroupPanel, k: number): Axis => ({
    ...scale,
    ...(k % columns === 0 ? {} : { ticktext: scale.tickvals.map(() => '') }),
    domain: down[Math.floor(k / columns)] ?? [0, 1],
    anchor: x,
  });
  const [first, ...others] = panels as [GroupPanel, ...GroupPanel[]];
  return {
    xaxis: xAxis(first, 0),
    yaxis: yAxis(first, 0),
    ...Object.fromEntries(
      others.flatMap((panel, k) => [
        [`xaxis${k + 2}`, xAxis(panel, k + 1)],
        [`yaxis${k + 2}`, yAxis(panel, k + 1)],
      ]),
    ),
    annotations: panels.map((panel) => panelTitle(panel, unit)),
    height: 70 + rows * 300,
    showlegend: false,
  };
}

function told(label: string, rows: readonly GroupPhase[], unit: string, decimals: number): string {
  const means = rows.map((row) => `${phaseWords[row.phase]} ${formatQuantity(row.mean, unit, decimals)}`);
  const mean = (phase: Phase) => rows.find((row) => row.phase === phase)?.mean;
  const [before, after] = [mean('baseline'), mean('post')];
  const moved =
    before === undefined || after === undefined
      ? ''
      : ` (after less before: ${formatChange(after - before, decimals)}${unitSuffix(unit)})`;
  return `${label}: ${means.join(', ')}${moved}.`;
}

/** The mean of each group in each phase, with thin lines for its golfers, one panel for each arm. */
export function groupFigure(finding: Finding<DrillTrialTables>): Figure | null {
  const { groups, golfers } = finding.tables;
  const { unit, label } = finding.metric;
  const shown = phases.filter((phase) => groups.some((row) => row.phase === phase));
  const panels: GroupPanel[] = armStyles(finding)
    .filter(({ arm }) => groups.some((row) => row.arm === arm))
    .map((style, k) => {
      const number = k === 0 ? '' : String(k + 1);
      return { style, x: `x${number}` as AxisId<'x'>, y: `y${number}` as AxisId<'y'> };
    });
  if (panels.length === 0) return null;
  // In a crossover a golfer's two values belong to two arms, so that a line within one would be false.
  const lines = !designWords(finding).crossover;
  const scale = linearAxis(
    [
      ...groups.flatMap(({ mean, interval }) => [mean, ...(interval ?? [])]),
      ...(lines ? golfers.flatMap(({ before, after, retention }) => [before, after, retention]) : []),
    ],
    { ticks: 6 },
  );
  const decimals = decimalsFor((scale.range[1] - scale.range[0]) / 20);
  const rowsOf = (arm: string, task: 'full' | 'drill'): GroupPhase[] =>
    shown.flatMap((phase) =>
      groups.filter((row) => row.arm === arm && row.task === task && row.phase === phase),
    );
  const level = groups.find(({ interval }) => interval !== null)?.level;
  const caption = [
    `Thick: the mean over golfers${level === undefined ? '' : ` with its ${formatLevel(level)} interval`}, full swings.`,
    lines ? 'Thin: one line for each golfer’s own means.' : '',
    groups.some(({ task }) => task === 'drill') ? 'Open points: swings at drill speed.' : '',
  ];
  return {
    id: 'groups',
    title: 'Before and after, by group',
    caption: caption.filter((part) => part !== '').join(' '),
    description: `${label}. ${panels.map(({ style }) => told(style.label, rowsOf(style.arm, 'full'), unit, decimals)).join(' ')}`,
    data: panels.flatMap((panel) => [
      ...(lines ? [golferLines(finding, panel, shown)] : []),
      ...(['drill', 'full'] as const)
        .map((task) => rowsOf(panel.style.arm, task))
        .filter((rows) => rows.length > 0)
        .map((rows) => meanTrace(panel, rows, shown, { unit, decimals })),
    ]),
    layout: layoutOf(panels, shown, scale, unit, Math.min(2, panels.length)),
    narrow: layoutOf(panels, shown, scale, unit, 1),
    table: groupTable(finding),
  };
}
