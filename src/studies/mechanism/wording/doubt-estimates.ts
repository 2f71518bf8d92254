import type { FindingEstimate } from '../../finding.ts';
import type { Answers } from '../analysis/ask.ts';
import { estimate } from './shown.ts';

export function doubtEstimates({ unmeasured, mediated, level }: Answers): FindingEstimate[] {
  if (unmeasured === null) return [];
  const bare = (value: number) => ({ value, interval: null });
  const list = [
    estimate(
      'robustness',
      'strength of an unmeasured cause that would explain the link away',
      bare(100 * unmeasured.toZero),
      '%',
      level,
      'Share of what varies inside golfers that it would have to explain, of the elbow and of the outcome alike (Cinelli and Hazlett 2020).',
    ),
    estimate(
      'robustness-interval',
      'strength that would bring the interval to no link',
      bare(100 * unmeasured.intervalToZero),
      '%',
      level,
      '0% where the interval holds no link already.',
    ),
    estimate(
      'e-value',
      'the same as a risk ratio (E-value), for one SD of the elbow',
      bare(unmeasured.eValue.estimate),
      '',
      level,
      `An unmeasured cause would have to go with both by this ratio each (VanderWeele and Ding 2017; an approximation for a measured outcome); ${unmeasured.eValue.interval.toFixed(2)} for the nearer end of the interval.`,
    ),
  ];
  if (mediated?.correlationToZero != null)
    list.push(
      estimate(
        'correlation-to-zero',
        'correlation of errors at which nothing would go by way of the release',
        bare(mediated.correlationToZero),
        '',
        level,
        'If what else moves the release also moves the outcome, this strong a correlation would be enough (Imai, Keele and Yamamoto 2010).',
      ),
    );
  return list;
}
