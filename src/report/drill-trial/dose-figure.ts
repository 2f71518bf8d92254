import type { DrillTrialTables, Finding } from '../../studies/index.ts';
import { linearAxis } from '../axis.ts';
import { shortLabel } from '../escape.ts';
import type { Figure, FigureLayout } from '../figure.ts';
import { decimalsFor, formatChange, formatNumber, inUnit, unitSuffix } from '../numbers.ts';
import { zoneShapes, zoneWords } from '../zone.ts';
import { armStyles } from './arms.ts';
import { designWords } from './design-words.ts';
import { doseTable } from './tables.ts';

/** Logged practice against change, a point for each golfer; null where there is no practice log. */
export function doseFigure(finding: Finding<DrillTrialTables>): Figure | null {
  const { dose, golfers } = finding.tables;
  if (dose.length === 0) return null;
  const { metric, smallestChange } = finding;
  const design = designWords(finding);
  const armOf = new Map(golfers.map(({ golfer, arm }) => [golfer, arm]));
  const styles = armStyles(finding);
  const spread = dose.reduce((most, { change }) => Math.max(most, Math.abs(change)), 0);
  const decimals = decimalsFor(spread / 10);
  const suffix = unitSuffix(metric.unit);
  const edge = Math.abs(smallestChange?.value ?? 0);
  const groups = styles
    .map((style) => ({
      style,
      points: dose.filter(({ golfer }) => (armOf.get(golfer) ?? styles[0]?.arm) === style.arm),
    }))
    .filter(({ points }) => points.length > 0);
  const layout = (narrow: boolean): FigureLayout => ({
    xaxis: linearAxis([0, ...dose.map(({ reps }) => reps)], {
      title: 'Logged repetitions of the drill',
      ticks: narrow ? 4 : 7,
    }),
    yaxis: {
      ...linearAxis([0, -edge, edge, ...dose.map(({ change }) => change)], {
        title: `${design.change}${inUnit(metric.unit)}`,
        format: formatChange,
      }),
      zeroline: true,
    },
    shapes: zoneShapes(smallestChange, 'y'),
    height: narrow ? 340 : 380,
    showlegend: groups.length > 1,
  });
  const reps = dose.map((point) => point.reps);
  const [fewest, most] = [reps.reduce((a, b) => Math.min(a, b)), reps.reduce((a, b) => Math.max(a, b))];
  return {
    id: 'dose',
    title: `Practice and ${design.observed}`,
    caption:
      `One point for each golfer with a practice log, ${design.observed} as observed. Golfers chose how much they practised, so a trend here is not proof that practice caused it. ${zoneWords(smallestChange)}`.trim(),
    description:
      `${dose.length} golfers with a practice log, from ${formatNumber(fewest, 0)} to ${formatNumber(most, 0)} repetitions; observed ${design.observed}s from ${formatChange(
        dose.reduce((a, { change }) => Math.min(a, change), Infinity),
        decimals,
      )} to ${formatChange(
        dose.reduce((a, { change }) => Math.max(a, change), -Infinity),
        decimals,
      )}${suffix}. ${zoneWords(smallestChange)}`.trim(),
    data: groups.map(({ style, points }) => ({
      type: 'scatter',
      mode: 'markers',
      name: style.label,
      x: points.map((point) => point.reps),
      y: points.map((point) => point.change),
      hovertext: points.map(
        (point) =>
          `${shortLabel(point.golfer, 40)}\n${formatNumber(point.reps, 0)} repetitions\n${formatChange(point.change, decimals)}${suffix}`,
      ),
      marker: { color: style.color, size: 9, symbol: style.symbol },
    })),
    layout: layout(false),
    narrow: layout(true),
    table: doseTable(finding),
  };
}
