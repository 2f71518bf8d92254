import type { Dataset } from '../../../dataset/index.ts';
import type { Finding } from '../../finding.ts';
import type { OneGolferTables } from '../../one-golfer-tables.ts';
import type { Excluded } from '../../shared/exclusions.ts';
import { provenanceOf } from '../../shared/provenance.ts';
import { metricOfFinding } from '../../shared/study-metric.ts';
import { count, list } from '../../shared/words.ts';
import type { StudyOptions } from '../../study.ts';
import type { Answers } from '../analysis/answers.ts';
import { phaseRuns } from '../analysis/measures.ts';
import { type GolferSeries, patternOf, runLengths } from '../input/series.ts';
import type { OneGolferData } from '../one-golfer-data.ts';
import { answerText } from './answer.ts';
import { cautionsOf, nextSteps, warningsOf } from './cautions.ts';
import { checkSeries } from './checks.ts';
import { listEstimates } from './estimates.ts';
import { leftOut } from './left-out.ts';
import { modelWords } from './model-words.ts';
import { plannedSeries } from './planned.ts';
import { analyseSensitivity } from './sensitivity.ts';

export interface FindingParts {
  readonly dataset: Dataset;
  readonly options: StudyOptions;
  readonly excluded: Excluded<OneGolferData>;
  readonly series: readonly GolferSeries[];
  readonly answers: Answers;
}

/** Puts the answers into words and into the shape that page, notebook and command line share. */
export function writeFinding({
  dataset,
  options,
  excluded,
  series,
  answers,
}: FindingParts): Finding<OneGolferTables> {
  const { metric, sessions } = excluded.data;
  const { randomisation } = answers;
  const golfers = series.map(({ golfer }) => golfer);
  const points = series.flatMap(({ compared }) => compared);
  const parts = { answers, series, sessions, metric };
  return {
    study: 'one-golfer',
    question: options.plan?.question ?? `Has ${metric.label} of ${list(golfers)} changed?`,
    answer: answerText({
      ...answers,
      ...metric,
      golfers,
      reversed: series.some((one) => patternOf(one).length > 2),
      noiseFrom: answers.noise.used?.words ?? null,
    }),
    verdict: answers.verdict,
    estimates: listEstimates({ ...answers, metric, series }),
    smallestChange: answers.smallest,
    metric: metricOfFinding(metric),
    design: {
      kind: series.length > 1 ? 'multiple-baseline' : 'phases',
      words: designWords(series),
      golfers: golfers.length,
      sessions: points.length,
      swings: points.reduce((sum, { swings }) => sum + swings, 0),
      arms: [],
    },
    leftOut: leftOut(excluded, series),
    model: modelWords(answers, series),
    checks: checkSeries(parts),
    sensitivity: analyseSensitivity(parts),
    cautions: cautionsOf(answers, series),
    planned: plannedSeries(dataset, options, metric, golfers, answers),
    provenance: provenanceOf(
      'one-golfer',
      dataset,
      options,
      [metric],
      randomisation.ok && !randomisation.table.exact ? answers.seed : (options.seed ?? null),
    ),
    tables: {
      sessions: series.flatMap(({ compared, retention }) =>
        [...compared, ...retention].sort((a, b) => a.order - b.order),
      ),
      phases: series.flatMap(phaseRuns),
      limits: series.flatMap(({ limits }) => limits ?? []),
      randomisation: randomisation.ok ? randomisation.table : null,
    },
    warnings: warningsOf(answers),
    next: nextSteps(answers, series),
  };
}

/** `G01: A of 12 sessions, B of 12 (AB), from 2026-03-02 to 2026-05-30.` */
export function designWords(series: readonly GolferSeries[]): string {
  const each = series.map((one) => {
    const pattern = patternOf(one);
    const phases = runLengths(one).map((n, i) => `${pattern[i]} of ${count(n, 'session')}`);
    const later =
      one.retention.length === 0 ? '' : `, then ${count(one.retention.length, 'session')} at retention`;
    const [from, to] = [one.compared[0]?.date, one.compared.at(-1)?.date];
    return `${one.golfer}: ${phases.length === 0 ? 'no session to compare' : list(phases)}${later}${from === undefined ? '' : ` (${from} to ${to})`}.`;
  });
  return `${each.join(' ')} The unit is the session: the mean of its full swings.`;
}
