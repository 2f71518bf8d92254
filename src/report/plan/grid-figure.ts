import type { Finding, PlanCell, PlanTables } from '../../studies/index.ts';
import { linearAxis } from '../axis.ts';
import type { Dash, Figure, FigureLayout, Marker, Trace } from '../figure.ts';
import { formatNumber } from '../numbers.ts';
import { colour } from '../palette.ts';
import { gridTable } from './grid-table.ts';

/** One look for each number of swings, from the fewest on. */
const LOOKS: readonly { readonly color: string; readonly symbol: Marker['symbol']; readonly dash: Dash }[] = [
  { color: colour.control, symbol: 'diamond', dash: 'dot' },
  { color: colour.drill, symbol: 'circle', dash: 'solid' },
  { color: colour.third, symbol: 'square', dash: 'dash' },
];

interface Shown {
  readonly id: string;
  readonly title: string;
  readonly caption: string;
  readonly value: (cell: PlanCell) => number;
  readonly interval: (cell: PlanCell) => readonly [number, number];
}

/**
 * The chance of the right verdict over the grid of designs: when the effect is there, and when there is none.
 *
 * @example
 * const outcome = await planFinding({ recipe, metric: 'shaft_lean_impact_deg', change: 1, golfers: 40, draws: 200 });
 * outcome.ok && gridFigures(outcome.finding).every(({ title }) => findingPage(outcome.finding).includes(title)) // true
 */
export function gridFigures(finding: Finding<PlanTables>): Figure[] {
  const { draws } = finding.tables;
  const error = `Each point is ${formatNumber(draws, 0)} simulated studies; the bars are their Monte Carlo error (95%).`;
  return [
    gridFigure(finding, {
      id: 'grid-effect',
      title: 'If the effect is as assumed: the chance of a change that matters',
      caption: `The verdict asks that the whole interval lies beyond the smallest change that matters. The line across is the wished chance. ${error}`,
      value: ({ meaningful }) => meaningful,
      interval: ({ meaningfulInterval }) => meaningfulInterval,
    }),
    gridFigure(finding, {
      id: 'grid-none',
      title: 'If there is no effect: the chance of too small to matter',
      caption: `A study that cannot say this when the drill does nothing ends in cannot tell, and the question stays open. ${error}`,
      value: ({ tooSmall }) => tooSmall,
      interval: ({ tooSmallInterval }) => tooSmallInterval,
    }),
  ];
}

function gridFigure(finding: Finding<PlanTables>, shown: Shown): Figure {
  const { grid, chance } = finding.tables;
  const sizes = [...new Set(grid.map(({ golfers }) => golfers))];
  const layout = (narrow: boolean): FigureLayout => ({
    xaxis: {
      ...linearAxis(sizes, { title: 'Golfers in all', margin: 0.08 }),
      tickvals: sizes,
      ticktext: sizes.map((size) => formatNumber(size, 0)),
      showgrid: false,
    },
    yaxis: {
      title: { text: 'Chance, %' },
      range: [0, 102],
      tickvals: [0, 20, 40, 60, 80, 100],
      ticktext: ['0', '20', '40', '60', '80', '100'],
      showgrid: true,
    },
    shapes: [
      {
        type: 'line',
        x0: 0,
        x1: 1,
        y0: 100 * chance,
        y1: 100 * chance,
        xref: 'paper',
        yref: 'y',
        layer: 'below',
        line: { color: colour.zoneEdge, width: 1.5, dash: 'dash' },
      },
    ],
    height: narrow ? 360 : 400,
    showlegend: true,
  });
  return {
    id: shown.id,
    title: shown.title,
    caption: shown.caption,
    description: descriptionOf(grid, shown),
    data: tracesOf(grid, shown),
    layout: layout(false),
    narrow: layout(true),
    table: gridTable(finding),
  };
}

/** One curve for each number of swings; curves stand a little apart so that their bars do not cover each other. */
function tracesOf(grid: readonly PlanCell[], { value, interval }: Shown): Trace[] {
  const swings = [...new Set(grid.map((cell) => cell.swings))];
  const span =
    Math.max(...grid.map(({ golfers }) => golfers)) - Math.min(...grid.map(({ golfers }) => golfers));
  return swings.map((own, k): Trace => {
    const cells = grid.filter((cell) => cell.swings === own);
    const look = LOOKS[k % LOOKS.length]!;
    return {
      type: 'scatter',
      mode: 'lines+markers',
      name: `${own} full swings in a session`,
      x: cells.map(({ golfers }) => golfers + (k - (swings.length - 1) / 2) * span * 0.008),
      y: cells.map((cell) => 100 * value(cell)),
      hovertext: cells.map(
        (cell) =>
          `${cell.golfers} golfers, ${own} swings: ${percentOf(value(cell))} (${percentOf(interval(cell)[0])} to ${percentOf(interval(cell)[1])})`,
      ),
      marker: { color: look.color, size: 8, symbol: look.symbol },
      line: { color: look.color, width: 2, dash: look.dash },
      error_y: {
        type: 'data',
        symmetric: false,
        array: cells.map((cell) => 100 * (interval(cell)[1] - value(cell))),
        arrayminus: cells.map((cell) => 100 * (value(cell) - interval(cell)[0])),
        color: look.color,
        thickness: 1.5,
        width: 4,
      },
      showlegend: true,
    };
  });
}

function descriptionOf(grid: readonly PlanCell[], { value }: Shown): string {
  return `Chance by golfers and swings: ${grid
    .map((cell) => `${cell.golfers} golfers with ${cell.swings} swings ${percentOf(value(cell))}`)
    .join('; ')}.`;
}

function percentOf(share: number): string {
  return `${formatNumber(100 * share, 0)}%`;
}
