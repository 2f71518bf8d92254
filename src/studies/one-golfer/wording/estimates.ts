import { detectableChange } from '../../../stats/index.ts';
import type { FindingEstimate } from '../../finding.ts';
import type { StudyMetric } from '../../shared/study-metric.ts';
import { count, percent } from '../../shared/words.ts';
import type { Answers } from '../analysis/answers.ts';
import { type Change, ENOUGH_SESSIONS } from '../analysis/change.ts';
import type { Measures } from '../analysis/measures.ts';
import type { GolferSeries } from '../input/series.ts';

export type EstimateParts = Pick<
  Answers,
  'change' | 'observed' | 'detectable' | 'randomisation' | 'measures' | 'noise' | 'level' | 'counts'
> & { readonly metric: StudyMetric; readonly series: readonly GolferSeries[] };

const NO_INTERVAL = [null, null] as const;

/** Every number of the answer, the change first. */
export function listEstimates(parts: EstimateParts): FindingEstimate[] {
  const { measures } = parts;
  const several = measures.length > 1;
  return [
    changeEstimate(parts),
    observedEstimate(parts),
    ...detectableEstimate(parts),
    ...pEstimate(parts),
    ...retentionEstimates(parts),
    ...autocorrelationEstimate(parts),
    ...measures.flatMap((one) => measureEstimates(one, parts, several ? ` of ${one.golfer}` : '')),
  ];
}

/** The change with what it rests on. */
export function changeEstimate({ change, level, metric }: EstimateParts): FindingEstimate {
  return {
    key: 'change',
    name: 'change with the training',
    value: change.value,
    interval: change.interval ?? NO_INTERVAL,
    level,
    unit: metric.unit,
    degreesOfFreedom: change.degreesOfFreedom,
    meaning: methodWords(change),
  };
}

function methodWords(change: Change): string {
  switch (change.method) {
    case 'series':
      return 'How much higher the session means are under B than under A, neighbouring sessions allowed to be alike to any degree.';
    case 'noise':
      return 'The difference of the plain means, with an interval from how much session means of other golfers vary.';
    case 'none':
      return change.value === null
        ? 'There is nothing to compare.'
        : 'The difference of the plain means; how sure it is cannot be said.';
  }
}

function observedEstimate({ observed, randomisation, level, metric }: EstimateParts): FindingEstimate {
  const interval = randomisation.ok ? randomisation.table.interval : null;
  return {
    key: 'observed',
    name: 'difference of the plain means',
    value: observed,
    interval: interval ?? NO_INTERVAL,
    level,
    unit: metric.unit,
    degreesOfFreedom: null,
    meaning:
      interval === null
        ? 'Mean of the B sessions less mean of the A sessions; the design allows no interval from its draw alone.'
        : `Mean of the B sessions less mean of the A sessions; the interval holds every steady change that the randomisation test does not rule out${randomisation.ok && !randomisation.table.drawn ? ', as if the design had been drawn at random' : ''}.`,
  };
}

function detectableEstimate({ detectable, noise, level, metric }: EstimateParts): FindingEstimate[] {
  if (detectable === null || noise.used === null) return [];
  return [
    {
      key: 'detectable',
      name: 'change that noise alone could make',
      value: detectable,
      unsigned: true,
      interval: NO_INTERVAL,
      level,
      unit: metric.unit,
      degreesOfFreedom: noise.used.degreesOfFreedom,
      meaning: `In ${percent(level, 1)} of cases two such means of an unchanged golfer differ by less; from ${noise.used.words}.`,
    },
  ];
}

function pEstimate({ randomisation, level }: EstimateParts): FindingEstimate[] {
  if (!randomisation.ok) return [];
  const { p, ways, smallestP, drawn } = randomisation.table;
  return [
    {
      key: 'randomisation-p',
      name: 'p of the randomisation test',
      value: p,
      interval: NO_INTERVAL,
      level,
      unit: '',
      degreesOfFreedom: null,
      meaning: `The share of the ${ways} ways in which the design could have fallen that give a difference as large; the smallest possible is ${Number(smallestP.toPrecision(3))}${drawn ? '' : '. Nothing says that the design was drawn at random, so this is only as if'}.`,
    },
  ];
}

function autocorrelationEstimate({ change, level }: EstimateParts): FindingEstimate[] {
  if (change.autocorrelation === null) return [];
  const { value, interval } = change.autocorrelation;
  return [
    {
      key: 'autocorrelation',
      name: 'likeness of neighbouring sessions',
      value,
      interval,
      level,
      unit: '',
      degreesOfFreedom: null,
      meaning:
        'Correlation of each session with the next around the level of its phase: 0 where days are unrelated.',
    },
  ];
}

function retentionEstimates({ series, noise, level, metric }: EstimateParts): FindingEstimate[] {
  return series.flatMap(({ golfer, compared, retention }) => {
    const before = compared.filter(({ condition }) => condition === 'A');
    if (retention.length === 0 || before.length === 0) return [];
    const mean = (points: readonly { readonly mean: number }[]) =>
      points.reduce((sum, point) => sum + point.mean, 0) / points.length;
    const value = mean(retention) - mean(before);
    const half =
      noise.used === null
        ? null
        : detectableChange({ ...noise.used, before: before.length, after: retention.length, level });
    return [
      {
        key: 'retention',
        name: `change kept at retention${series.length > 1 ? ` by ${golfer}` : ''}`,
        value,
        interval: half === null ? NO_INTERVAL : ([value - half, value + half] as const),
        level,
        unit: metric.unit,
        degreesOfFreedom: noise.used?.degreesOfFreedom ?? null,
        meaning: `Mean of ${count(retention.length, 'session')} at retention less mean of the A sessions; sessions taken as unrelated.`,
      },
    ];
  });
}

function measureEstimates(
  { nonOverlap, corrected, rankTrend, baselineSlope, baselineP }: Measures,
  { level, metric, counts }: EstimateParts,
  whose: string,
): FindingEstimate[] {
  const bare = { interval: NO_INTERVAL, level, unit: '', degreesOfFreedom: null };
  const better = metric.goodDirection === 0 ? 'higher' : 'better';
  return [
    {
      ...bare,
      key: 'non-overlap',
      name: `non-overlap of all pairs${whose}`,
      value: nonOverlap.nap,
      interval: nonOverlap.interval,
      meaning: `Share of the ${nonOverlap.pairs} pairs of an A and a B session in which B is ${better}, ties a half; 0.5 is no difference. The interval takes sessions as unrelated.`,
    },
    {
      ...bare,
      key: 'tau-corrected',
      name: `rank correlation with phase${whose}, baseline trend ${corrected.corrected ? 'taken off' : 'not found'}`,
      value: corrected.tauB,
      meaning: `From ${'\u2212'}1 to 1, ${better} being more (baseline corrected Tau, Tarlow 2017).`,
    },
    {
      ...bare,
      key: 'tau-u',
      name: `Tau less the trend of A${whose}`,
      value: rankTrend.tauLessTrendA,
      meaning: `Tau-U (Parker et al. 2011): Tau is ${rankTrend.tau.toFixed(2)} before.${rankTrend.outOfRange ? ' A variant of it lies beyond 1, which no correlation can: do not read it as one.' : ''}`,
    },
    ...(baselineSlope === null || counts.before < ENOUGH_SESSIONS
      ? []
      : [
          {
            ...bare,
            key: 'baseline-slope',
            name: `trend of the first A phase${whose}`,
            value: baselineSlope,
            unit: metric.unit,
            meaning: `Each session (Theil-Sen)${baselineP === null ? '' : `; Kendall p = ${Number(baselineP.toFixed(3))}`}.`,
          },
        ]),
  ];
}
