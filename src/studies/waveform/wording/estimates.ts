import type { FindingEstimate } from '../../finding.ts';
import { capitalised } from '../../shared/words.ts';
import type { WaveformTiming, WaveformWindow } from '../../waveform-tables.ts';
import type { CurveAnswer } from '../analysis/answers.ts';
import type { CurveAxis } from '../input/axis.ts';
import type { ComparisonWords } from './comparison-words.ts';
import { afterInstant, timeWords } from './place.ts';

export interface EstimateWords {
  readonly axis: CurveAxis;
  readonly words: ComparisonWords;
  readonly unit: string;
  readonly level: number;
}

/** The difference at the time that answers, with the band's interval there. */
export function differenceEstimate(
  answer: CurveAnswer,
  { axis, words, unit, level }: EstimateWords,
): FindingEstimate {
  const { compared, node } = answer;
  const { band, windows, effect, degreesOfFreedom } = compared;
  const at = timeWords(axis, axis.times[node]!);
  return {
    key: 'difference',
    name: `difference at ${at}`,
    value: effect[node]!,
    interval: band === null ? [null, null] : [band.low[node]!, band.high[node]!],
    level,
    unit,
    degreesOfFreedom,
    meaning: `${capitalised(words.difference)}, at ${at}, ${
      windows.length === 0
        ? 'where the difference is largest'
        : 'where the near end of the interval is furthest from none'
    }. The interval holds for all instants at once.`,
  };
}

/** All estimates; the first answers the question. */
export function listEstimates(
  answer: CurveAnswer,
  parts: EstimateWords,
  windows: readonly WaveformWindow[],
  timing: readonly WaveformTiming[],
): FindingEstimate[] {
  const { axis, unit, level } = parts;
  const { degreesOfFreedom } = answer.compared;
  const which = (k: number) => (windows.length === 1 ? 'the window' : `window ${k + 1}`);
  const edge = (key: string, name: string, value: number): FindingEstimate => ({
    key,
    name,
    value,
    interval: [null, null],
    level,
    unit: axis.unit,
    degreesOfFreedom: null,
    meaning: `${[capitalised(timeWords(axis, value)), afterInstant(axis, value)].filter((text) => text !== '').join(', ')}. The edges of a window depend on how many golfers there are: a difference too small to be seen with these may begin earlier and end later.`,
  });
  return [
    differenceEstimate(answer, parts),
    ...windows.flatMap((window, k) => [
      edge(`window-${k + 1}-from`, `start of ${which(k)}`, window.from),
      edge(`window-${k + 1}-to`, `end of ${which(k)}`, window.to),
      ...(window.peakAt === axis.times[answer.node]
        ? []
        : [
            {
              key: `window-${k + 1}-peak`,
              name: `difference at the peak of ${which(k)}`,
              value: window.peak,
              interval: window.peakInterval,
              level,
              unit,
              degreesOfFreedom,
              meaning: `${capitalised(parts.words.difference)}, at ${timeWords(axis, window.peakAt)}. The interval holds for all instants at once.`,
            },
          ]),
      {
        key: `window-${k + 1}-mean`,
        name: `mean difference over ${which(k)}`,
        value: window.mean,
        interval: window.meanInterval,
        level,
        unit,
        degreesOfFreedom,
        meaning:
          'The difference averaged over the window. The interval is the mean of the band over it, which holds although the window was found in the same data.',
      },
    ]),
    ...timing.map(
      ({ instant, difference, interval }): FindingEstimate => ({
        key: `timing-${instant.replaceAll(' ', '-')}`,
        name: `timing of ${instant}`,
        value: difference,
        interval,
        level,
        unit: '%',
        degreesOfFreedom,
        meaning: `${capitalised(parts.words.difference)}, of when ${instant} came, in per cent of the downswing (more: later). Curves that are registered have this taken out. Intervals hold for all instants together.`,
      }),
    ),
  ];
}
