import type { FindingEstimate, Sensitivity } from '../../finding.ts';
import { verdictOf } from '../../shared/standing.ts';
import type { StudyMetric } from '../../shared/study-metric.ts';
import type { Answers } from '../analysis/answers.ts';
import { type Change, noiseChange, seriesChange } from '../analysis/change.ts';
import type { GolferSeries } from '../input/series.ts';
import { changeEstimate } from './estimates.ts';

export interface SensitivityParts {
  readonly answers: Answers;
  readonly series: readonly GolferSeries[];
  readonly metric: StudyMetric;
}

/** The change again, each time with one choice changed. */
export function analyseSensitivity(parts: SensitivityParts): Sensitivity[] {
  const { answers, series } = parts;
  const { level, change, noise, randomisation, besidesTrend } = answers;
  const entry = (name: string, what: string, other: Change | null): Sensitivity[] =>
    other === null || other.value === null ? [] : [entryOf(parts, name, what, other)];
  const own = change.method === 'series';
  return [
    ...(own
      ? entry(
          'unrelated sessions',
          'days taken as unrelated',
          seriesChange(series, level, { autocorrelation: 0 }),
        )
      : []),
    ...(own ? entry('steady trend', 'each golfer may also run along a straight line', besidesTrend) : []),
    ...(own
      ? entry(
          'first session of each B phase left out',
          'in case a change takes a session to come',
          seriesChange(withoutFirstOfB(series), level),
        )
      : []),
    ...(own ? leaveOneOut(parts) : []),
    ...(own && noise.roster !== null
      ? entry(
          'noise of the roster',
          `difference of the plain means, noise from ${noise.roster.words}`,
          noiseChange(series, noise.roster, level),
        )
      : []),
    ...(randomisation.ok && randomisation.table.interval !== null
      ? entry(
          'by the draw alone',
          `every steady change that the randomisation test does not rule out${randomisation.table.drawn ? '' : ', as if the design had been drawn at random'}`,
          {
            method: 'none',
            value: randomisation.table.difference,
            interval: randomisation.table.interval,
            degreesOfFreedom: null,
            autocorrelation: null,
            why: '',
          },
        )
      : []),
  ];
}

function entryOf(
  { answers, metric }: SensitivityParts,
  name: string,
  what: string,
  change: Change,
): Sensitivity {
  const { smallest, verdict, level } = answers;
  const own = smallest === null ? 'cannot-tell' : verdictOf(change.interval, smallest);
  const estimate: FindingEstimate = changeEstimate({ ...answers, metric, series: [], change, level });
  return {
    name,
    what,
    estimate,
    verdict: own,
    words: own === verdict ? 'The verdict stays.' : 'The verdict is another.',
  };
}

function withoutFirstOfB(series: readonly GolferSeries[]): GolferSeries[] {
  return series.map((one) => ({
    ...one,
    compared: one.compared.filter(
      (point, i) => point.condition === 'A' || one.compared[i - 1]?.run === point.run,
    ),
  }));
}

/** The session whose leaving out moves the change most. */
function leaveOneOut(parts: SensitivityParts): Sensitivity[] {
  const { answers, series } = parts;
  let furthest: { readonly session: string; readonly change: Change } | null = null;
  for (const one of series)
    for (const { session } of one.compared) {
      const others = series.map((own) => ({
        ...own,
        compared: own.compared.filter((point) => point.session !== session),
      }));
      const change = seriesChange(others, answers.level);
      if (change === null || change.value === null || answers.change.value === null) continue;
      const moved = (to: Change) => Math.abs(to.value! - answers.change.value!);
      if (furthest === null || moved(change) > moved(furthest.change)) furthest = { session, change };
    }
  return furthest === null
    ? []
    : [
        entryOf(
          parts,
          'one session left out',
          `the one that moves the change most, ${furthest.session}`,
          furthest.change,
        ),
      ];
}
