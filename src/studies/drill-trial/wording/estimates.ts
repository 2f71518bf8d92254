import type { FindingEstimate } from '../../finding.ts';
import { capitalised } from '../../shared/words.ts';
import { NO_EFFECT } from '../analysis/effect.ts';
import type { FollowUps } from '../analysis/follow-ups.ts';
import type { MainAnalysis } from '../analysis/main-analysis.ts';
import { comparedArms } from '../input/design.ts';
import type { Setting } from './estimate.ts';
import { carryOverEstimates, doseEstimate, retentionEstimates } from './follow-up-estimates.ts';
import { regressionEstimates, responseEstimate, shareOfGolfers } from './golfer-estimates.ts';
import { changeEstimate, mainEstimate } from './main-estimates.ts';

/** The estimates of the finding, the one that answers the question first; each with its meaning in a sentence. */
export function listEstimates(setting: Setting, main: MainAnalysis, more: FollowUps): FindingEstimate[] {
  const { design } = setting;
  const arms = comparedArms(design);
  const all = [...design.drills, ...(design.control === null ? [] : [design.control])];
  const listed = [
    ...arms.map((arm) => mainEstimate(setting, arm, main.effects.get(arm) ?? NO_EFFECT)),
    ...(design.kind === 'parallel' ? all.map((arm) => changeEstimate(setting, arm, more)) : []),
    ...(typeof more.retention === 'string'
      ? []
      : [...more.retention.byArm].flatMap(([arm, kept]) => retentionEstimates(setting, arm, kept))),
    ...(typeof more.carryOver === 'string'
      ? []
      : [...more.carryOver.byArm].flatMap(([arm, carried]) => carryOverEstimates(setting, arm, carried))),
    ...(typeof more.dose === 'string' ? [] : [doseEstimate(setting, more.dose)]),
    ...[...more.responses].flatMap(([arm, responses]) =>
      typeof responses === 'string' ? [] : [responseEstimate(setting, arm, responses)],
    ),
    ...shareOfGolfers(setting, more),
    ...(typeof more.regression === 'string' ? [] : regressionEstimates(setting, more.regression)),
  ];
  // The answer stands even when there is none; what else could not be estimated is among the checks.
  return listed.filter((estimate, place) => place < arms.length || estimate.value !== null);
}

/** The questions that could not be answered, and why, for the list of checks. */
export function unanswered(more: FollowUps): { readonly name: string; readonly why: string }[] {
  return [
    { name: 'retention', why: more.retention },
    { name: 'carry-over from drill speed', why: more.carryOver },
    { name: 'dose', why: more.dose },
    { name: 'regression to the mean', why: more.regression },
    ...[...more.responses.values()].map((why) => ({ name: 'individual responses', why })),
  ].flatMap(({ name, why }) => (typeof why === 'string' ? [{ name, why: capitalised(why) }] : []));
}
