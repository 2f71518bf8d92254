import type { Dataset } from '../../../dataset/index.ts';
import type { Check, Finding, LeftOut } from '../../finding.ts';
import type { MechanismTables } from '../../mechanism-tables.ts';
import { groupLeftOut, joinLeftOut } from '../../shared/left-out.ts';
import { plannedOf } from '../../shared/planned.ts';
import { comparedPart } from '../../shared/planned-parts.ts';
import { provenanceOf } from '../../shared/provenance.ts';
import { metricOfFinding, type StudyMetric, studyMetric } from '../../shared/study-metric.ts';
import { summedCaution } from '../../shared/summed-words.ts';
import { count } from '../../shared/words.ts';
import type { StudyOptions } from '../../study.ts';
import type { Answers } from '../analysis/ask.ts';
import { DRAWS } from '../analysis/draws.ts';
import { isStrikeLink } from '../analysis/strike.ts';
import { RULE_WORDS } from '../input/choice.ts';
import { isSummed } from '../input/summed-swings.ts';
import type { Asked } from '../input/swings.ts';
import { answerOf, questionOf } from './answer.ts';
import { arrowChecks } from './arrows.ts';
import { cautionsOf, nextSteps, warningsOf } from './cautions.ts';
import { listEstimates } from './estimates.ts';
import { rivalsOf } from './rivals.ts';
import { labelOf } from './shown.ts';
import { tablesOf } from './tables.ts';

export interface FindingParts {
  readonly dataset: Dataset;
  readonly options: StudyOptions;
  readonly asked: Asked;
  readonly answers: Answers;
  readonly metric: StudyMetric;
}

/** Puts the answers into words and into the shape that page, notebook and command line share. */
export function writeFinding(parts: FindingParts): Finding<MechanismTables> {
  const { dataset, options, asked, answers, metric } = parts;
  const { slope, mixed, mediated, strikes, moderations, smallest, verdict, level } = answers;
  const { frame, choice } = slope;
  const rivals = rivalsOf(asked.swings, answers, metric, options.plan ?? null);
  const planned = plannedOf({
    study: 'mechanism',
    dataset,
    options,
    metric,
    smallest,
    level,
    parts: [
      comparedPart('the elbow’s number', undefined, choice.predictor),
      ...(choice.mediator === null ? [] : [comparedPart('what carries it', undefined, choice.mediator)]),
    ],
  });
  const columns = [choice.predictor, ...(choice.mediator === null ? [] : [choice.mediator])];
  return {
    study: 'mechanism',
    question: questionOf(answers, metric, options.plan?.question),
    answer: answerOf(answers, metric),
    verdict,
    estimates: listEstimates(answers, metric),
    smallestChange: smallest,
    metric: metricOfFinding(metric),
    design: {
      kind: 'swings as they came',
      words: `${count(frame.size, 'full swing')} of ${count(frame.golfers, 'golfer')} in ${count(frame.sessions, 'session')}; each swing is compared with the other swings of the same ${choice.within === 'golfer' ? 'golfer' : 'session'}.`,
      golfers: frame.golfers,
      sessions: frame.sessions,
      swings: frame.size,
      arms: [],
    },
    leftOut: leftOutOf(parts),
    model: {
      words: modelWords(answers, metric),
      objects: [
        ...(mixed === null ? [] : [mixed.model]),
        ...(mediated === null ? [] : [mediated.first.model, mediated.second.model]),
        ...strikes.flatMap(({ link }) => (isStrikeLink(link) ? [link.model] : [])),
        ...moderations.map(({ model }) => model),
      ],
    },
    checks: [
      ...arrowChecks(answers, asked.swings, rivals, metric),
      ...unanswered(answers),
      ...(isSummed(asked.swings) ? summedChecks() : []),
    ],
    sensitivity: rivals.sensitivity,
    cautions: [
      ...cautionsOf(answers, metric),
      ...(isSummed(asked.swings) ? [summedCaution(asked.swings.sums.rows)] : []),
    ],
    planned,
    provenance: provenanceOf('mechanism', dataset, options, [
      metric,
      ...columns.map((column) => studyMetric(column)),
    ]),
    tables: tablesOf(answers, rivals),
    warnings: warningsOf(answers),
    next: nextSteps(answers, planned.planned),
  };
}

function leftOutOf({ asked }: FindingParts): LeftOut[] {
  return [
    ...groupLeftOut('golfers', asked.golfers),
    ...groupLeftOut('sessions', asked.sessions),
    ...joinLeftOut('swings', asked.leftOut),
  ];
}

/** What the other ways of asking lose where swings were summed. */
function summedChecks(): Check[] {
  return [
    {
      name: RULE_WORDS['without-outliers'],
      outcome: 'not-possible',
      words: 'It needs each swing; the swings were summed by session where they are.',
    },
    {
      name: 'measurement error by a joint model',
      outcome: 'not-possible',
      words:
        'Each swing may state an error of its own, which sums do not hold. The correction of the answer itself does not need it.',
    },
  ];
}

function modelWords({ slope, mixed, mediated, level }: Answers, metric: StudyMetric): string {
  const { choice, corrected } = slope;
  const days = mixed?.model.random?.length === 2 ? ', days of a golfer their own level' : '';
  return [
    `The answer: the slope of ${metric.label} on ${labelOf(choice.predictor)} by least squares on departures from each golfer’s usual, pooled over golfers; its error by leaving each golfer out in turn, Student’s t with the effective number of golfers less one degrees of freedom; intervals at ${Number((100 * level).toFixed(1))}%.`,
    corrected === null
      ? ''
      : 'The stated variance of measurement error is taken off the elbow’s spread inside golfers (Fuller 1987).',
    mixed === null
      ? ''
      : `Beside it a mixed model of the same, split into how each swing departs from the golfer’s usual and what is usual; golfers have their own level and their own slope${days} (Kenward and Roger 1997). It gives the slope between golfers and how far golfers’ slopes differ.`,
    mediated === null
      ? ''
      : `Arrows by least squares on departures from each golfer’s usual, pooled over golfers${mediated.chain.corrected ? ', the variances of measurement error taken off' : ''}; intervals by drawing golfers with all their swings ${mediated.chain.draws} times${mediated.chain.draws < DRAWS ? ` (${DRAWS} with fewer golfers)` : ''}, widened for few golfers (Hesterberg 2015). Beside them, the product of two mixed-model slopes with the interval of a product’s own distribution (MacKinnon, Fairchild and Fritz 2007).`,
    'Ratings by a cumulative logit, yes and no by a logit, with golfers’ own levels.',
  ]
    .filter((words) => words !== '')
    .join(' ');
}

function unanswered({ strikes }: Answers): Check[] {
  return strikes.flatMap(({ link }): Check[] =>
    isStrikeLink(link)
      ? []
      : [
          {
            name: `the strike: ${labelOf(link.strike)}`,
            outcome: 'not-possible',
            words: `Not linked: ${link.why}.`,
          },
        ],
  );
}
