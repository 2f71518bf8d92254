import type { FlowRow } from '../../drill-trial-tables.ts';
import type { StudyMetric } from '../../shared/study-metric.ts';
import { count, list, percent } from '../../shared/words.ts';
import type { Dropouts } from '../analysis/dropouts.ts';
import type { Design } from '../input/design.ts';

/** Cautions of this trial first, then those that every page for a coach carries. */
export function listCautions(
  design: Design,
  metric: StudyMetric,
  flow: readonly FlowRow[],
  dropouts: Dropouts,
  others: readonly string[],
): string[] {
  const small = flow.filter((row) => row.assigned < 5).map((row) => `'${row.arm}'`);
  const lost = [...dropouts.share].filter(([, share]) => share > 0.2);
  return [
    ...designCautions(design),
    ...others,
    ...(metric.kind === 'number'
      ? []
      : [
          `${metric.label} is ${metric.kind === 'ordinal' ? 'a rating in steps' : 'a yes or no'}; it was compared by its mean, which is a rough summary of it.`,
        ]),
    ...(lost.length === 0
      ? []
      : [
          `More than a fifth of the golfers ${design.kind === 'crossover' ? 'were measured after one of the two arms only' : `in ${list(lost.map(([arm, share]) => `'${arm}' (${percent(share)})`))} have no value after the drill`}. Losses of that size can turn an answer round (Schulz and Grimes 2002, Lancet 359:781-785).`,
        ]),
    ...(small.length === 0
      ? []
      : [
          `Fewer than 5 golfers in ${list(small)}: keep this report to yourself. No group of fewer than 5 belongs in a report meant for sharing.`,
        ]),
    'Associations in a roster are not proof of cause.',
    'Training load: stop at pain. Wrist, elbow and back complaints, and anything unusual in the growth of a child, belong to a licensed clinician. Hitting a hard board or mat jars the wrist, so start with a towel and short swings.',
    'Measuring people needs their consent, for a minor that of a guardian, and follows the local rules on data protection and research ethics.',
    'A comparison of instructors is not fit, by itself, for deciding pay or employment.',
  ];
}

/** What a reader must see before the answer is used. */
export function designWarnings(design: Design): string[] {
  return design.kind === 'before-after'
    ? [
        'Without a control group a change cannot be put down to the drill: practice, the season, the first visit being unusual and golfers picked for a poor value all change numbers too.',
      ]
    : [];
}

function designCautions(design: Design): string[] {
  const chance =
    'Whether golfers were put into arms by chance is not in the data. If a coach chose who did the drill, the difference may lie in who was chosen.';
  switch (design.kind) {
    case 'before-after':
      return [];
    case 'crossover':
      return [
        'A crossover takes for granted that what the first arm taught has worn off before the second is measured. A movement that is learned does not wear off.',
        chance.replace('into arms', 'into an order'),
      ];
    case 'stepped-start':
      return [
        'A stepped start takes for granted that time changes all golfers alike and that the drill works alike however long ago it was started.',
        chance.replace('into arms', 'into a starting date').replace('who did the drill', 'who started first'),
      ];
    case 'parallel':
      return [
        chance,
        ...(design.drills.length < 2
          ? []
          : [
              `${count(design.drills.length, 'arm')} are compared with the control, each with an interval of its own: the chance that at least one of them misleads is larger than for one.`,
            ]),
      ];
  }
}
