import { escapeMarkup, shortLabel } from './escape.ts';
import type { Figure, Trace } from './figure.ts';
import { sizes } from './figure-frame.ts';
import { legendSample } from './svg-marks.ts';

/** The traces that are switched together with the one at `index`: those of its group, or itself alone. */
function together(data: readonly Trace[], index: number): number[] {
  const group = data[index]?.legendgroup;
  if (group === undefined) return [index];
  return data.flatMap((trace, k) => (trace.legendgroup === group ? [k] : []));
}

/**
 * The legend of an interactive figure: a button for each name, which takes its marks out of the drawing and puts them
 * back, by mouse, touch or keyboard. Nothing where the figure has no legend.
 */
export function legendHtml({ data, layout }: Figure): string {
  if (layout.showlegend === false) return '';
  const buttons = data.flatMap((trace, index) => {
    if (trace.showlegend === false) return [];
    const sample = `<svg width="30" height="16" aria-hidden="true">${legendSample(trace, 1, 8)}</svg>`;
    return [
      `<button type="button" aria-pressed="true" data-traces="${together(data, index).join(' ')}">${sample}<bdi>${escapeMarkup(shortLabel(trace.name, 60))}</bdi></button>`,
    ];
  });
  if (buttons.length === 0) return '';
  return `<div class="legend" style="font-size:${sizes.legend}px">${buttons.join('')}</div>`;
}
