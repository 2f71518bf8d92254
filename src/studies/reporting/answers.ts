import type { Dataset, Plan } from '../../dataset/index.ts';
import type { Finding } from '../finding.ts';
import { count, list } from '../shared/words.ts';
import type { ReportingItem } from './reporting.ts';

/** What the items are filled from. */
export interface ReportingSources {
  readonly finding: Finding;
  readonly plan: Plan | null;
  readonly dataset: Dataset;
}

/** A state with its words. */
export type Answer = Pick<ReportingItem, 'state' | 'words'>;

/** What only the people who ran it know: the keys of `statements` in a plan, and what each should tell. */
export const STATEMENTS = {
  background: 'why the question is worth asking and what is known already',
  registration: 'where the study was registered, or that it was not',
  funding: 'who paid, and whether anybody gains from the answer',
  ethics: 'who approved it, and how consent was asked for',
  access: 'where the plan and the data can be had, or why not',
  setting: 'where it was done: indoors or out, range or course, from when to when',
  recruitment: 'how golfers were found, and who was asked',
  eligibility: 'who could take part and who could not',
  drillName: 'the name of the drill in words others would use',
  drillWhy: 'why the drill should work',
  drillMaterials: 'what is needed for it: club, ball, mat, aids, video',
  drillProcedure: 'what the golfer does, step by step',
  drillProvider: 'who teaches it, and how they were trained',
  drillMode: 'alone or in a group, in person or not',
  drillPlace: 'where it is practised',
  drillSchedule: 'how often, how many repetitions, at what speed, for how long',
  drillTailoring: 'what may be fitted to the golfer, and by what rule',
  drillModifications: 'what was changed on the way, and why',
  fidelityPlanned: 'how it is checked that the drill is done as meant',
  control: 'what those without the drill do instead',
  sequence: 'how the order or allocation was drawn',
  concealment: 'who could know the next allocation beforehand, and how that was prevented',
  assigner: 'who enrolled golfers and who assigned them',
  blinding: 'who knew the arm or phase: golfer, instructor, who measured, who rated',
  harms: 'pain, injury or other harm that was looked for and seen',
  equipment: 'how the swings were captured, and how the equipment was calibrated',
  limitations: 'what could have made the answer wrong',
  applicability: 'to whom the answer applies',
} as const;

export type StatementKey = keyof typeof STATEMENTS;

/** What a plan states in words of its own; missing, with the place to write it, where it does not. */
export function statement(
  key: StatementKey,
  more: Partial<Answer> = {},
): (sources: ReportingSources) => Answer {
  return ({ plan }) => {
    const text = plan?.statements?.[key];
    if (text !== undefined) return { state: 'stated', words: `From the plan: ${text}` };
    const write = `Write ${STATEMENTS[key]} under statements, ${key}, in the plan.`;
    return more.words === undefined
      ? { state: 'missing', words: write }
      : { state: more.state ?? 'partly', words: `${more.words} ${write}` };
  };
}

export const stated = (words: string): Answer => ({ state: 'stated', words });
export const missing = (words: string): Answer => ({ state: 'missing', words });
export const partly = (words: string): Answer => ({ state: 'partly', words });

/** Golfers, sessions and swings used. */
export function numbersUsed({ finding: { design } }: ReportingSources): Answer {
  return stated(
    `${count(design.golfers, 'golfer')}, ${count(design.sessions, 'session')}, ${count(design.swings, 'swing')}.`,
  );
}

/** First and last date of the sessions; a dataset that passed its check has at least one, with its date. */
export function dates({ dataset }: ReportingSources): Answer {
  const sorted = dataset.tables.sessions
    .column('date')
    .filter((date) => date !== null)
    .toSorted();
  return stated(`Sessions from ${sorted[0]} to ${sorted.at(-1)}.`);
}

/** Who the golfers are, as far as golfers.csv says. */
export function participants({ dataset }: ReportingSources): Answer {
  const { golfers } = dataset.tables;
  const known = (['handicap_index', 'age_band', 'height_cm', 'plays'] as const).filter((column) => {
    const stored = golfers.stored(column);
    return (
      stored !== undefined &&
      (stored.kind === 'text'
        ? stored.codes.some((code) => code >= 0)
        : stored.values.some((value) => !Number.isNaN(value)))
    );
  });
  if (known.length < 2)
    return partly(
      `Only ${list(known.length === 0 ? ['ids'] : known)} known. Fill in handicap_index, age_band and height_cm in golfers.csv.`,
    );
  return stated(`golfers.csv has ${list(known)}.`);
}

/** Who was left out, and why. */
export function losses({ finding: { leftOut } }: ReportingSources): Answer {
  if (leftOut.length === 0) return stated('Nothing was left out.');
  return stated(`${list(leftOut.map(({ table, count: n, why }) => `${n} of ${table} (${why})`))}.`);
}

/** The estimates with their intervals. */
export function estimatesWithPrecision({ finding: { estimates } }: ReportingSources): Answer {
  const without = estimates.filter(({ interval }) => interval[0] === null || interval[1] === null).length;
  if (estimates.length === 0 || estimates[0]!.value === null)
    return partly('No estimate could be made; the answer says why.');
  return without === 0
    ? stated(`${count(estimates.length, 'estimate')}, each with its interval and degrees of freedom.`)
    : stated(
        `${count(estimates.length, 'estimate')}, ${estimates.length - without} with an interval; for the others there is none, and the list shows it.`,
      );
}

/** How many were needed and when collecting ends. */
export function studySize({ plan }: ReportingSources): Answer {
  const rule = plan?.stoppingRule;
  if (rule !== undefined) return stated(`Stopping rule of the plan: ${rule.words}`);
  return missing(
    'Nothing says how many golfers were wanted or when collecting ends. Write stoppingRule in the plan.',
  );
}

/** Whether the question was written down beforehand. */
export function protocol({ finding: { planned } }: ReportingSources): Answer {
  if (!planned.planned)
    return missing('No plan states this question. Write one and lock it before the first session.');
  return planned.timing === 'before-the-data' ? stated(planned.words) : partly(`${planned.words}`);
}

/** The outcome and its definition. */
export function outcome({ finding: { metric, provenance } }: ReportingSources): Answer {
  const versions = list(provenance.definitions.map((own) => `${own.metric} ${own.version}`));
  return stated(
    `${metric.label}: ${metric.meaning} Definitions: ${versions === '' ? 'the columns themselves' : versions}.`,
  );
}
