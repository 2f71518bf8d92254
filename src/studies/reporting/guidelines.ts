import { count } from '../shared/words.ts';
import {
  type Answer,
  dates,
  estimatesWithPrecision,
  losses,
  missing,
  numbersUsed,
  outcome,
  participants,
  partly,
  protocol,
  type ReportingSources,
  stated,
  statement,
  studySize,
} from './answers.ts';
import type { Guideline } from './reporting.ts';

/**
 * The items, in our words, of CONSORT 2025 (trials), STROBE (observational studies), SCRIBE 2016 (single cases) and
 * TIDieR (what was done to people). The lists are from memory except where noted: use the published ones for a paper.
 */
export interface GuidelineItem {
  readonly key: string;
  readonly asks: string;
  readonly answer: (sources: ReportingSources) => Answer;
}

const question = ({ finding }: ReportingSources) => stated(`${finding.question} ${finding.answer}`);
const objectives = ({ finding }: ReportingSources) =>
  finding.smallestChange === null
    ? partly('The question is stated; no smallest change that matters is. Write it in the plan.')
    : stated(`${finding.question} Judged against ${judgedAgainst(finding.smallestChange)}.`);
/** As the plan wrote it; a default is worked out from the data, and three digits say it. */
const judgedAgainst = ({ value, unit, from }: NonNullable<ReportingSources['finding']['smallestChange']>) =>
  from === 'plan'
    ? `${value} ${unit}, set in the plan`
    : `${Number(value.toPrecision(3))} ${unit}, a stated default`;
const design = ({ finding }: ReportingSources) => stated(finding.design.words);
const model = ({ finding }: ReportingSources) => stated(finding.model.words);
const changes = ({ finding: { planned } }: ReportingSources): Answer => {
  const changed = (planned.parts ?? []).filter((part) => part.state === 'changed');
  if (!planned.planned) return missing('Without a plan, changes to it cannot be seen.');
  return changed.length === 0
    ? stated('No part differs from the plan.')
    : stated(changed.map(({ part, words }) => `${part}: ${words}`).join(' '));
};
const ancillary = ({ finding: { sensitivity, planned } }: ReportingSources) =>
  stated(
    `${sensitivity.length} other ways of asking are shown as such${planned.planned ? '; what was not planned is marked exploratory' : '; with no plan, all is exploratory'}.`,
  );
const limitations = ({ finding }: ReportingSources) =>
  stated(`${finding.cautions.length} cautions and ${finding.checks.length} checks stand on the page.`);
const interpretation = ({ finding }: ReportingSources) => stated(finding.answer);
const practice = ({ dataset }: ReportingSources): Answer => {
  const bouts = dataset.tables.practice.length;
  return bouts === 0
    ? missing('No practice was logged, so whether the drill was done is not known. Keep practice.csv.')
    : stated(`practice.csv logs ${bouts} bouts.`);
};
const rawData = ({ finding }: ReportingSources) =>
  stated(
    `${finding.provenance.inputs.length} files, named with their SHA-256; the tables of the page are written as CSV.`,
  );
const arms = ({ finding }: ReportingSources): Answer =>
  finding.design.arms.length < 2
    ? partly('There is no control arm.')
    : stated(finding.design.arms.map(({ arm, golfers }) => `${arm}: ${count(golfers, 'golfer')}`).join('; '));
const reliability = ({ finding }: ReportingSources): Answer =>
  finding.smallestChange?.from === 'default' ||
  /typical error|measurement/i.test(JSON.stringify(finding.checks))
    ? stated('What the measurement resolves is among the checks or in the smallest change.')
    : partly('How noisy the number is belongs beside it: run the study noise on these data.');
const biases = ({ finding }: ReportingSources) =>
  stated(
    `${finding.checks.filter(({ outcome: state }) => state !== 'good').length} checks ask for a look; each says why.`,
  );

const item = (key: string, asks: string, answer: GuidelineItem['answer']): GuidelineItem => ({
  key,
  asks,
  answer,
});

export const GUIDELINES: Readonly<Record<Guideline, readonly GuidelineItem[]>> = {
  CONSORT: [
    item('title', 'what was tried, on whom, and with what result, up front', question),
    item('registration', 'where the trial was registered', statement('registration')),
    item('protocol', 'the plan, and when it was fixed', protocol),
    item('sharing', 'where data and code can be had', statement('access')),
    item('funding', 'who paid, and conflicts of interest', statement('funding')),
    item('background', 'why the question is worth asking', statement('background')),
    item('objectives', 'the exact question, and how large a change matters', objectives),
    item('design', 'kind of trial and allocation', design),
    item('changes', 'what was changed after the start, and why', changes),
    item('setting', 'where and by whom it was done', statement('setting')),
    item('eligibility', 'who could take part', statement('eligibility')),
    item('arms', 'what each arm did, so that it could be repeated', statement('control')),
    item('outcome', 'the number that decides, its definition and its instant', outcome),
    item('harms', 'how harm was looked for, and what was seen', statement('harms')),
    item('size', 'how the number of golfers was set, and looks before the end', studySize),
    item('sequence', 'how the allocation was drawn', statement('sequence')),
    item('concealment', 'how the next allocation was kept hidden', statement('concealment')),
    item('assigner', 'who enrolled and who assigned', statement('assigner')),
    item('blinding', 'who knew the arm', statement('blinding')),
    item('statistics', 'the model, who is in it, missing data', model),
    item('flow', 'how many at each stage, and losses with reasons', losses),
    item('dates', 'from when to when', dates),
    item('delivery', 'how much of the drill was really done', practice),
    item('baseline', 'who the golfers are', participants),
    item('numbers', 'how many are in each comparison', numbersUsed),
    item('estimates', 'effects with their precision', estimatesWithPrecision),
    item('ancillary', 'other analyses, planned and not, told apart', ancillary),
    item('groups', 'size of each arm', arms),
    item('interpretation', 'an answer no stronger than the numbers', interpretation),
    item('limitations', 'what could have made it wrong', limitations),
  ],
  STROBE: [
    item('title', 'the design and the answer, up front', question),
    item('background', 'why the question is worth asking', statement('background')),
    item('objectives', 'the exact question', objectives),
    item('design', 'the design in a sentence', design),
    item('setting', 'where and when', statement('setting')),
    item('dates', 'from when to when', dates),
    item('participants', 'how golfers were found', statement('recruitment')),
    item('eligibility', 'who could take part', statement('eligibility')),
    item('variables', 'the numbers, each with its definition', outcome),
    item('measurement', 'how it was measured, and how well', statement('equipment')),
    item('reliability', 'how noisy the number is', reliability),
    item('bias', 'what could bias it, and what was done', biases),
    item('size', 'how the number of golfers was set', studySize),
    item('statistics', 'the model, missing data, sensitivity', model),
    item('flow', 'how many at each stage, and losses with reasons', losses),
    item('descriptive', 'who the golfers are', participants),
    item('numbers', 'how many are in the analysis', numbersUsed),
    item('results', 'estimates with their precision', estimatesWithPrecision),
    item('other', 'other analyses', ancillary),
    item('limitations', 'what could have made it wrong', limitations),
    item('interpretation', 'an answer no stronger than the numbers', interpretation),
    item('applicability', 'to whom it applies', statement('applicability')),
    item('funding', 'who paid, and conflicts of interest', statement('funding')),
  ],
  SCRIBE: [
    item('title', 'that this is one golfer, and what was tried', question),
    item('background', 'why the question is worth asking', statement('background')),
    item('aims', 'the exact question', objectives),
    item('design', 'phases, their order, and the rule by which they change', design),
    item('changes', 'what was changed on the way', changes),
    item('sequence', 'whether the start or order was drawn at random', statement('sequence')),
    item('blinding', 'who knew the phase', statement('blinding')),
    item('selection', 'how the golfer was chosen', statement('recruitment')),
    item('golfer', 'who the golfer is', participants),
    item('setting', 'where it was done', statement('setting')),
    item('ethics', 'approval and consent', statement('ethics')),
    item('measures', 'the number, its definition', outcome),
    item('reliability', 'how noisy the number is', reliability),
    item('equipment', 'how swings were captured', statement('equipment')),
    item('conditions', 'what was done in each phase', statement('drillProcedure')),
    item('fidelity', 'whether it was done as meant', practice),
    item('analysis', 'how the answer was got', model),
    item('completed', 'the sequence that was really completed', losses),
    item('raw', 'the value of every session', rawData),
    item('outcomes', 'estimates with their precision', estimatesWithPrecision),
    item('harms', 'harm looked for and seen', statement('harms')),
    item('interpretation', 'an answer no stronger than the numbers', interpretation),
    item('limitations', 'what could have made it wrong', limitations),
    item('applicability', 'to whom it applies', statement('applicability')),
    item('protocol', 'the plan, and when it was fixed', protocol),
    item('funding', 'who paid, and conflicts of interest', statement('funding')),
  ],
  TIDieR: [
    item('name', 'what the drill is called', statement('drillName')),
    item('why', 'why it should work', statement('drillWhy')),
    item('materials', 'what is needed', statement('drillMaterials')),
    item('procedures', 'what is done, step by step', statement('drillProcedure')),
    item('provider', 'who teaches it', statement('drillProvider')),
    item('mode', 'alone or in a group', statement('drillMode')),
    item('place', 'where it is practised', statement('drillPlace')),
    item('dose', 'how often, how many, how fast', statement('drillSchedule')),
    item('tailoring', 'what may be fitted to the golfer', statement('drillTailoring')),
    item('modifications', 'what was changed on the way', statement('drillModifications')),
    item('fidelity planned', 'how it is checked', statement('fidelityPlanned')),
    item('fidelity', 'how much was really done', practice),
  ],
};
