import { fitModel, skewness } from '../../stats/index.ts';
import type { Check } from '../finding.ts';
import type { StudyMetric } from '../shared/study-metric.ts';
import { amount, figure, list, percent } from '../shared/words.ts';
import { FEWEST_PUPILS, type InstructorsAnswer } from './analyse.ts';
import type { Pupil, Pupils } from './pupils.ts';

/** What the comparison of instructors takes for granted, looked at in the data. */
export function instructorsChecks(
  { pupils, kept }: Pupils,
  answer: InstructorsAnswer,
  metric: StudyMetric,
): Check[] {
  return [
    startCheck(pupils, metric),
    lossCheck(kept),
    spreadCheck(pupils),
    skewCheck(pupils),
    sizeCheck(answer),
  ];
}

function startCheck(pupils: readonly Pupil[], metric: StudyMetric): Check {
  const name = 'pupils of different instructors start alike';
  const outcome = fitModel(
    {
      outcome: 'start',
      distribution: 'normal',
      fixed: ['intercept'],
      random: [{ group: 'instructor', effects: ['intercept'] }],
      criterion: 'reml',
    },
    { start: pupils.map(({ before }) => before), instructor: pupils.map(({ instructor }) => instructor) },
  );
  if (!outcome.ok)
    return { name, outcome: 'not-possible', words: outcome.problems.map(({ found }) => found).join('; ') };
  const between = outcome.fit.result.random[0]?.sd[0] ?? 0;
  const within = outcome.fit.result.residualSd ?? 0;
  const share = between ** 2 / (between ** 2 + within ** 2);
  const size = amount(between, metric.unit, metric.decimals);
  return share > 0.1
    ? {
        name,
        outcome: 'look',
        words: `They do not: instructors' pupils differ at the start with an SD of ${size}, ${percent(share)} of all differences at the start. Gains are compared, so the start itself is taken off; what goes with it is not.`,
      }
    : {
        name,
        outcome: 'good',
        words: `Only ${percent(share)} of the differences at the start go with the instructor (SD ${size}).`,
      };
}

function lossCheck(kept: Pupils['kept']): Check {
  const name = 'pupils stay with every instructor alike';
  const rows = [...kept].filter(([, { before }]) => before >= FEWEST_PUPILS);
  const lost = rows.map(([, { before, after }]) => 1 - after / before);
  if (rows.length < 2)
    return {
      name,
      outcome: 'not-possible',
      words: 'Too few instructors have pupils enough to compare losses.',
    };
  const [low, high] = [Math.min(...lost), Math.max(...lost)];
  const range = `Between ${percent(low)} and ${percent(high)} of an instructor's pupils were measured at the start and not after`;
  return high > 0.2
    ? {
        name,
        outcome: high - low > 0.2 ? 'bad' : 'look',
        words: `${range}. Who leaves is not who stays, so an instructor may look better or worse for it (Schulz and Grimes 2002, from memory, warn above 20%).`,
      }
    : { name, outcome: 'good', words: `${range}.` };
}

function changesByInstructor(pupils: readonly Pupil[]): ReadonlyMap<string, readonly number[]> {
  const own = new Map<string, number[]>();
  for (const { instructor, before, after } of pupils)
    own.set(instructor, [...(own.get(instructor) ?? []), after - before]);
  return own;
}

function spreadCheck(pupils: readonly Pupil[]): Check {
  const name = 'pupils of every instructor spread alike';
  const sds = [...changesByInstructor(pupils)]
    .filter(([, changes]) => changes.length >= FEWEST_PUPILS)
    .map(([, changes]) => {
      const mean = changes.reduce((sum, value) => sum + value, 0) / changes.length;
      return Math.sqrt(changes.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (changes.length - 1));
    });
  if (sds.length < 2)
    return { name, outcome: 'not-possible', words: 'Too few instructors have pupils enough.' };
  const ratio = Math.max(...sds) / Math.min(...sds);
  const words = `The largest SD of pupils' changes is ${Number.isFinite(ratio) ? `${figure(ratio, 1)} times` : 'many times'} the smallest.`;
  return ratio > 3
    ? {
        name,
        outcome: 'look',
        words: `${words} One SD for all is taken, so intervals are too short for some.`,
      }
    : { name, outcome: 'good', words };
}

function skewCheck(pupils: readonly Pupil[]): Check {
  const name = "pupils' changes spread evenly both ways";
  const residuals = [...changesByInstructor(pupils).values()].flatMap((changes) => {
    const mean = changes.reduce((sum, value) => sum + value, 0) / changes.length;
    return changes.length < 2 ? [] : changes.map((value) => value - mean);
  });
  const skew = skewness(residuals);
  if (skew === null) return { name, outcome: 'not-possible', words: 'Too few pupils to tell.' };
  return Math.abs(skew.value) > 1 && Math.abs(skew.value) > 2 * skew.standardError
    ? {
        name,
        outcome: 'look',
        words: `They are skewed (${figure(skew.value, 1)}): a few pupils may move an instructor's mean.`,
      }
    : {
        name,
        outcome: 'good',
        words: `Skewness ${figure(skew.value, 1)}, no more than chance or too little to matter.`,
      };
}

function sizeCheck(answer: InstructorsAnswer): Check {
  const name = 'each instructor has pupils enough';
  const weak = answer.instructors.filter(({ reliability }) => reliability < 0.5);
  if (answer.instructors.length === 0)
    return { name, outcome: 'bad', words: `No instructor has ${FEWEST_PUPILS} pupils.` };
  return weak.length === 0
    ? {
        name,
        outcome: 'good',
        words: 'At least half of what separates any shown mean from the others is the instructor’s.',
      }
    : {
        name,
        outcome: 'look',
        words: `Less than half of what separates the means of ${list(weak.map(({ instructor }) => instructor).toSorted())} from the others is theirs; the rest is chance, and their best guesses are pulled toward the mean for it.`,
      };
}
