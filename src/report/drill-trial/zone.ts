import type { SmallestChange } from '../../studies/finding.ts';
import type { Annotation, Reference, Shape } from '../figure.ts';
import { colour } from '../palette.ts';
import { smallestWords } from '../verdict-words.ts';

/** The zone of changes that do not matter, along the x or y axis of a panel. */
export function zoneShapes(
  smallest: SmallestChange | null,
  along: 'x' | 'y',
  axis = along as Reference<'x'> & Reference<'y'>,
): Shape[] {
  const dash = { color: colour.zoneEdge, width: 1, dash: 'dot' } as const;
  const line = (at: number, style: Shape['line']): Shape =>
    along === 'x'
      ? {
          type: 'line',
          x0: at,
          x1: at,
          y0: 0,
          y1: 1,
          xref: axis,
          yref: 'paper',
          layer: 'above',
          ...(style && { line: style }),
        }
      : {
          type: 'line',
          x0: 0,
          x1: 1,
          y0: at,
          y1: at,
          xref: 'paper',
          yref: axis,
          layer: 'above',
          ...(style && { line: style }),
        };
  if (smallest === null) return [];
  const edge = Math.abs(smallest.value);
  const area =
    along === 'x'
      ? { x0: -edge, x1: edge, y0: 0, y1: 1, xref: axis, yref: 'paper' as const }
      : { x0: 0, x1: 1, y0: -edge, y1: edge, xref: 'paper' as const, yref: axis };
  return [
    { type: 'rect', ...area, fillcolor: colour.zone, layer: 'below' },
    line(-edge, dash),
    line(edge, dash),
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

/** `Shaded: changes of up to 3° either way, too small to matter.` */
export function zoneWords(smallest: SmallestChange | null): string {
  if (smallest === null) return '';
  return `Shaded: up to ${smallestWords(smallest)} either way, too small to matter.`;
}
