import type { GolferChange } from '../../studies/index.ts';
import { shortLabel } from '../escape.ts';
import type { Trace } from '../figure.ts';
import { formatChange, formatInterval, formatNumber, unitSuffix } from '../numbers.ts';
import { colour } from '../palette.ts';
import type { DesignWords } from './design-words.ts';
import type { GolferSection } from './golfer-rows.ts';

/** How the numbers of a golfer are told. */
export interface Telling {
  readonly unit: string;
  readonly decimals: number;
  readonly design: DesignWords;
}

/** What is told of one golfer, a line for each number. */
export function golferWords(golfer: GolferChange, { unit, decimals, design }: Telling): string {
  const suffix = unitSuffix(unit);
  const lines = [
    shortLabel(golfer.golfer, 40),
    `observed ${formatChange(golfer.change, decimals)}${suffix} (${formatNumber(golfer.swingsBefore, 0)} swings ${design.before}, ${formatNumber(golfer.swingsAfter, 0)} ${design.after})`,
  ];
  if (golfer.shrunken !== null) {
    const guess = `best guess ${formatChange(golfer.shrunken, decimals)}${suffix}`;
    const interval = golfer.interval === null ? '' : `, ${formatInterval(golfer.interval, unit, decimals)}`;
    lines.push(guess + interval);
  }
  if (golfer.chanceMeaningful !== null) {
    lines.push(
      `chance that the ${design.observed} matters ${formatNumber(golfer.chanceMeaningful * 100, 0)}%`,
    );
  }
  return lines.join('\n');
}

/** The best guesses with their intervals, and the observed values, of one section. */
export function golferTraces(section: GolferSection, first: boolean, telling: Telling): Trace[] {
  const observed = section.rows.filter(({ golfer }) => golfer.change !== null);
  const guessed = section.rows.filter(({ golfer }) => golfer.shrunken !== null);
  const half = ({ interval, shrunken }: GolferChange, end: 0 | 1): number =>
    interval === null || shrunken === null ? 0 : Math.abs(interval[end] - shrunken);
  return [
    {
      type: 'scatter',
      mode: 'markers',
      name: telling.design.golfersOf(section.style.label),
      x: guessed.map(({ golfer }) => golfer.shrunken),
      y: guessed.map(({ slot }) => slot),
      hovertext: guessed.map(({ golfer }) => golferWords(golfer, telling)),
      marker: { color: section.style.color, size: 8, symbol: section.style.symbol },
      error_x: {
        type: 'data',
        symmetric: false,
        array: guessed.map(({ golfer }) => half(golfer, 1)),
        arrayminus: guessed.map(({ golfer }) => half(golfer, 0)),
        color: section.style.color,
        thickness: 1.6,
        width: 0,
      },
    },
    {
      type: 'scatter',
      mode: 'markers',
      name: 'as observed',
      x: observed.map(({ golfer }) => golfer.change),
      y: observed.map(({ slot }) => slot),
      hovertext: observed.map(({ golfer }) => golferWords(golfer, telling)),
      marker: { color: colour.soft, size: 6, symbol: 'circle-open' },
      legendgroup: 'observed',
      showlegend: first,
    },
  ];
}
