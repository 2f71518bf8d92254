import type { SmallestChange } from '../studies/index.ts';
import type { Annotation, Shape } from './figure.ts';
import { colour } from './palette.ts';
import { smallestWords } from './verdict-words.ts';

/** The zone of changes that do not matter, along the x or the y axis: a shade with dotted edges. */
export function zoneShapes(smallest: SmallestChange | null, along: 'x' | 'y'): Shape[] {
  if (smallest === null) return [];
  const edge = Math.abs(smallest.value);
  const across = (from: number, to: number) =>
    along === 'x'
      ? ({ x0: from, x1: to, y0: 0, y1: 1, xref: 'x', yref: 'paper' } as const)
      : ({ x0: 0, x1: 1, y0: from, y1: to, xref: 'paper', yref: 'y' } as const);
  const line = { color: colour.zoneEdge, width: 1, dash: 'dot' } as const;
  return [
    { type: 'rect', ...across(-edge, edge), fillcolor: colour.zone, layer: 'below' },
    { type: 'line', ...across(-edge, -edge), line, layer: 'above' },
    { type: 'line', ...across(edge, edge), line, layer: 'above' },
  ];
}

/** The zone's name, above the middle of it. */
export function zoneNote(smallest: SmallestChange | null): Annotation[] {
  if (smallest === null) return [];
  return [
    {
      text: 'too small to matter',
      x: 0,
      y: 1,
      xref: 'x',
      yref: 'paper',
      showarrow: false,
      xanchor: 'center',
      yanchor: 'bottom',
      yshift: 3,
      font: { size: 12, color: colour.soft },
    },
  ];
}

/** `Shaded: up to 3° either way, too small to matter.` */
export function zoneWords(smallest: SmallestChange | null): string {
  if (smallest === null) return '';
  return `Shaded: up to ${smallestWords(smallest)} either way, too small to matter.`;
}
