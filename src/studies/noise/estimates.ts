import type { FindingEstimate } from '../finding.ts';
import type { Agreement, CorrelationRow } from '../noise-tables.ts';
import type { StudyMetric } from '../shared/study-metric.ts';
import { count } from '../shared/words.ts';
import type { NoiseAnswer, Size } from './analyse.ts';
import { widestLimit } from './answer-words.ts';

type Say = Pick<FindingEstimate, 'key' | 'name' | 'meaning'> & { readonly unit?: string };

/** Every size of noise as an estimate, the one that answers first. */
export function noiseEstimates(
  answer: NoiseAnswer,
  correlations: readonly CorrelationRow[],
  captureSd: number | null,
  metric: StudyMetric,
): FindingEstimate[] {
  const { now, withSessions } = answer;
  const visits = `${count(now.sessions, 'session')} of ${count(now.swings, 'swing')}`;
  const least = withSessions
    ? ''
    : ' Day-to-day differences could not be told and are not in it: it is larger.';
  const estimate = (size: Size | null, say: Say): FindingEstimate => ({
    unsigned: true,
    ...say,
    unit: say.unit ?? metric.unit,
    value: size?.value ?? null,
    interval: size?.interval ?? [null, null],
    level: answer.level,
    degreesOfFreedom: size?.degreesOfFreedom ?? null,
  });
  const bare = (value: number): Size => ({ value, interval: null, degreesOfFreedom: null });
  return [
    estimate(answer.detectableNow, {
      key: 'detectable-now',
      name: `smallest detectable change of one golfer, ${visits} each time`,
      meaning: `A golfer's mean moves by less than this in 95 of 100 comparisons in which nothing changed: 1.96 x root 2 x the standard error of measurement.${least}`,
    }),
    estimate(answer.detectableOneSwing, {
      key: 'detectable-one-swing',
      name: 'smallest detectable change, one swing each time',
      meaning: `The same where one swing is compared with one swing of another day.${least}`,
    }),
    estimate(answer.errorNow, {
      key: 'error-now',
      name: `standard error of measurement, mean of ${visits}`,
      meaning: `How far a golfer's mean, measured so, typically lies from where the golfer truly stands.${least}`,
    }),
    estimate(answer.errorOfSwing, {
      key: 'error-of-swing',
      name: 'standard error of measurement, one swing',
      meaning: `How far a single swing typically lies from where the golfer truly stands.${least}`,
    }),
    estimate(answer.golferSd, {
      key: 'sd-golfer',
      name: 'SD between golfers',
      meaning: 'How much golfers truly differ, the noise of their means taken out.',
    }),
    estimate(answer.sessionSd, {
      key: 'sd-session',
      name: 'SD between sessions of a golfer',
      meaning: "How much one golfer's level moves from day to day, the noise of single swings taken out.",
    }),
    estimate(answer.swingSd, {
      key: 'sd-swing',
      name: 'SD between swings of a session',
      meaning:
        'How much swings of one session differ, whatever of it is the golfer and whatever the measurement.',
    }),
    ...(captureSd === null
      ? []
      : [
          estimate(bare(captureSd), {
            key: 'sd-capture',
            name: 'measurement SD stated beside the swings',
            meaning:
              'Root mean square of the uncertainties that came with the values; it is part of the SD between swings.',
          }),
        ]),
    estimate(answer.reliability, {
      key: 'reliability',
      name: "reliability of golfers' means as measured",
      unit: '',
      meaning:
        'The share of the spread of these means that is true difference between golfers: 1 tells golfers apart perfectly, 0 not at all. It depends on how much the golfers differ, so it is no property of the measurement alone.',
    }),
    ...correlations.map((row) =>
      estimate(row.estimate === null ? null : { ...bare(row.estimate), interval: row.interval }, {
        key: `correlation-${row.form}-${row.of}`,
        name: `${row.name} of session means, also written ${row.otherName}`,
        unit: '',
        meaning: CORRELATION_MEANING[`${row.form} ${row.of}`]!,
      }),
    ),
  ];
}

const CORRELATION_MEANING: Readonly<Record<string, string>> = {
  'one-way single': 'Intraclass correlation, one-way: the sessions of a golfer taken in no order.',
  'agreement single':
    'Intraclass correlation for agreement: what all golfers moved by between sessions counts as error.',
  'consistency single':
    'Intraclass correlation for consistency: what all golfers moved by between sessions is taken out.',
  'one-way mean': 'One-way, for the mean of these sessions.',
  'agreement mean': 'Agreement, for the mean of these sessions.',
  'consistency mean': 'Consistency, for the mean of these sessions.',
};

/** How two definitions or devices agree, as estimates; the widest limit answers. */
export function agreementEstimates(agreement: Agreement, metric: StudyMetric): FindingEstimate[] {
  const { first, second, level, golfers } = agreement;
  const shared = { level, unit: metric.unit, degreesOfFreedom: golfers - 1 };
  const widest = widestLimit(agreement);
  return [
    {
      ...shared,
      key: 'widest-limit',
      name: `size of the wider limit of agreement, ${first} against ${second}`,
      value: widest.value,
      interval: widest.interval,
      unsigned: true,
      meaning: 'About 95 of 100 single readings differ by less than this.',
    },
    {
      ...shared,
      key: 'mean-difference',
      name: `mean difference, ${first} minus ${second}`,
      value: agreement.mean,
      interval: agreement.meanInterval,
      meaning: 'What one reads more than the other on average over golfers.',
    },
    {
      ...shared,
      key: 'lower-limit',
      name: 'lower limit of agreement',
      value: agreement.lower,
      interval: agreement.lowerInterval,
      meaning: 'Mean difference minus 1.96 SDs of a single difference.',
    },
    {
      ...shared,
      key: 'upper-limit',
      name: 'upper limit of agreement',
      value: agreement.upper,
      interval: agreement.upperInterval,
      meaning: 'Mean difference plus 1.96 SDs of a single difference.',
    },
    {
      key: 'proportional-bias',
      name: 'change of the difference with the size of the number',
      value: agreement.slope,
      interval: agreement.slopeInterval ?? [null, null],
      level,
      unit: `${metric.unit} per ${metric.unit}`,
      degreesOfFreedom: agreement.slope === null ? null : golfers - 2,
      meaning:
        'How much the difference grows for each unit of the mean of both, over golfers. One of them being noisier makes it differ from zero too.',
    },
  ];
}
