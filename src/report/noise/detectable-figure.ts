import type { Finding, NoiseTables } from '../../studies/index.ts';
import { linearAxis } from '../axis.ts';
import type { Annotation, Figure, FigureLayout, Trace } from '../figure.ts';
import { decimalsFor, formatCount, formatQuantity, inUnit } from '../numbers.ts';
import { colour } from '../palette.ts';
import { smallestWords } from '../verdict-words.ts';
import { detectableTable } from './tables.ts';

/** Numbers of sessions drawn as curves; the table has more. */
const CURVES = [
  { sessions: 1, color: colour.control, dash: 'solid', symbol: 'circle' },
  { sessions: 2, color: colour.drill, dash: 'dash', symbol: 'square' },
  { sessions: 4, color: colour.third, dash: 'dot', symbol: 'diamond' },
  { sessions: 8, color: colour.fourth, dash: 'solid', symbol: 'triangle-up' },
] as const;

/** How small a change can be seen, by swings in a session and number of sessions; null where sessions are not told apart. */
export function detectableFigure(finding: Finding<NoiseTables>): Figure | null {
  const { metric, smallestChange } = finding;
  const { detectable, now } = finding.tables;
  if (detectable.length === 0) return null;
  const { unit } = metric;
  const drawn = CURVES.map((look) => ({
    look,
    cells: detectable.filter(({ sessions }) => sessions === look.sessions),
  })).filter(({ cells }) => cells.length > 0);
  const most = Math.max(...drawn.flatMap(({ cells }) => cells.map(({ smallest }) => smallest)));
  const decimals = decimalsFor(most / 10);
  const edge = smallestChange === null ? null : Math.abs(smallestChange.value);
  const matters = smallestChange === null ? '' : smallestWords(smallestChange);
  const traces: Trace[] = drawn.map(({ look, cells }) => ({
    type: 'scatter',
    mode: 'lines+markers',
    name: formatCount(look.sessions, 'session'),
    x: cells.map(({ swings }) => swings),
    y: cells.map(({ smallest }) => smallest),
    hovertext: cells.map(
      ({ sessions, swings, smallest }) =>
        `${formatCount(sessions, 'session')} of ${formatCount(swings, 'swing')} each time\na change of ${formatQuantity(smallest, unit, decimals)} or more stands out`,
    ),
    marker: { color: look.color, size: 7, symbol: look.symbol },
    line: { color: look.color, width: 2, dash: look.dash },
  }));
  const layout = (narrow: boolean): FigureLayout => ({
    xaxis: {
      ...linearAxis([0, ...detectable.map(({ swings }) => swings)], {
        title: 'Swings in each session',
        ticks: narrow ? 4 : 7,
        margin: 0.02,
      }),
      showgrid: false,
    },
    yaxis: {
      ...linearAxis([0, most, edge === null || edge > 3 * most ? 0 : edge], {
        title: `Smallest change that stands out in one golfer${inUnit(unit)}`,
      }),
      zeroline: true,
    },
    shapes:
      edge === null
        ? []
        : [
            {
              type: 'rect',
              x0: 0,
              x1: 1,
              y0: 0,
              y1: edge,
              xref: 'paper',
              yref: 'y',
              fillcolor: colour.zone,
              layer: 'below',
            },
            {
              type: 'line',
              x0: 0,
              x1: 1,
              y0: edge,
              y1: edge,
              xref: 'paper',
              yref: 'y',
              layer: 'above',
              line: { color: colour.zoneEdge, width: 1, dash: 'dot' },
            },
          ],
    annotations: edge === null ? [] : [zoneName(matters)],
    height: narrow ? 380 : 420,
    showlegend: true,
  });
  const told = drawn.map(({ look, cells }) => {
    const last = cells.at(-1)!;
    return `${formatCount(look.sessions, 'session')}: ${formatQuantity(cells[0]!.smallest, unit, decimals)} with one swing, ${formatQuantity(last.smallest, unit, decimals)} with ${last.swings}`;
  });
  return {
    id: 'detectable',
    title: 'How many swings and sessions show how small a change',
    caption: `Each time (before, and again after) a golfer has so many sessions of so many swings. A change above the curve stands out from noise; one below it does not.${
      edge === null ? '' : ` Shaded: where a change of ${matters} can be seen.`
    } Now: ${formatCount(now.sessions, 'session')} of ${formatCount(now.swings, 'swing')}.`,
    description: `${told.join('. ')}.${edge === null ? '' : ` A change of ${matters} matters.`}`,
    data: traces,
    layout: layout(false),
    narrow: layout(true),
    table: detectableTable(finding),
  };
}

function zoneName(matters: string): Annotation {
  return {
    text: `a change of ${matters} can be seen`,
    x: 1,
    y: 0,
    xref: 'paper',
    yref: 'y',
    showarrow: false,
    xanchor: 'right',
    yanchor: 'bottom',
    xshift: -4,
    yshift: 3,
    font: { size: 12, color: colour.soft },
  };
}
