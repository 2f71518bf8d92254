import type { Check, Planned } from '../finding.ts';
import { comparedPart, leftOpen } from '../shared/planned-parts.ts';
import { amount, count, difference, percent } from '../shared/words.ts';
import { outcomeOf } from './answer-words.ts';
import type { PlanInput } from './plan-input.ts';
import type { Settled } from './settle.ts';
import type { Sizes } from './size-study.ts';

/** Whether the simulation itself can be trusted. */
export function checksOf({ draws, chance }: Settled, { grid, chosen, meaningful }: Sizes): Check[] {
  const failed = grid.reduce((sum, cell) => sum + cell.failed, chosen.failed);
  const fits = (grid.length + 1) * draws;
  const half = (100 * (meaningful.interval[1] - meaningful.interval[0])) / 2;
  return [
    {
      name: 'failed fits',
      outcome: failed === 0 ? 'good' : failed < fits / 100 ? 'look' : 'bad',
      words:
        failed === 0
          ? `All ${fits} fits of the grid and of the chosen size settled.`
          : `${failed} of ${fits} fits did not settle. They count as studies without an answer, so that chances are not flattered.`,
    },
    {
      name: 'Monte Carlo error',
      outcome: half <= 3 ? 'good' : 'look',
      words: `With ${draws} simulated studies a chance near ${percent(chance)} is known to within ${half.toFixed(1)} percentage points either way; ask for more draws to know it better.`,
    },
    {
      name: 'variances at their limit',
      outcome: chosen.singular < draws / 10 ? 'good' : 'look',
      words: `In ${chosen.singular} of ${draws} studies of the chosen size some variance was estimated as nothing, or a correlation as one; such fits are used, as they would be in the study.`,
    },
  ];
}

export function cautionsOf(
  { point, spread, cautions, smallestCautions }: Settled,
  { found }: Sizes,
): string[] {
  return [
    ...cautions,
    ...smallestCautions,
    'The assumed effect is an assumption. A study planned for an effect larger than the true one is too small for it; plan for the smallest effect you would be glad to have found, not for the one hoped for.',
    ...(spread.responseSd > 0 && point.kind === 'parallel'
      ? [
          'Golfers who do the drill vary more in their change than those who do not; the model has one variance for both, and the simulation spreads the difference over the arms.',
        ]
      : []),
    ...(point.leaving > 0
      ? [
          `It is reckoned that ${percent(point.leaving)} leave before the end or miss it, whatever their progress. If those leave who do not progress, the study is not only smaller but wrong.`,
        ]
      : [
          'Nobody is reckoned to leave; enrol more golfers than the number given, by the share that usually leaves.',
        ]),
    ...(point.kind === 'before-after'
      ? [
          'One group before and after shows a change and not what caused it: practice, time and regression to the mean are in it. No number of golfers mends that.',
        ]
      : []),
    ...(found !== null && found.golfers < 20
      ? [
          'So few golfers tell little about how much golfers differ; the numbers hold if the SDs do, and there is little to notice it by when they do not.',
        ]
      : []),
  ];
}

export function nextOf(settled: Settled, sizes: Sizes): string[] {
  const { metric, smallest, analysis, effect, point, chance } = settled;
  const least = amount(smallest.value, metric.unit, metric.decimals);
  switch (outcomeOf(settled, sizes)) {
    case 'wrong-way':
      return ['Look at the sign of the assumed effect, and at which direction is good.'];
    case 'effect-too-small':
      return [
        `If a true ${difference(effect, { ...metric, level: analysis.level })} would be worth coaching for, then ${least} is not the smallest change that matters: argue for a smaller one in the plan. If it would not, the study need not be done.`,
      ];
    case 'beyond-reach':
    case 'golfers-too-few':
      return [
        ...(sizes.moreSessions === null
          ? []
          : [
              `Measure ${count(point.sessions + 1, 'session')} in each phase: ${count(sizes.moreSessions.golfers, 'golfer')} would then do.`,
            ]),
        'Choose a number that is less noisy, or a design in which golfers are their own control.',
        `Or ask less: a study of this size can tell effects of ${sizes.detectable === null ? 'another size' : amount(sizes.detectable.value, metric.unit, metric.decimals)} with ${percent(chance)} chance.`,
      ];
    default:
      return [
        'Write the size into the plan as its stopping rule, and lock the plan before the first session.',
        'Let chance decide who does the drill: the command allocate makes the list.',
      ];
  }
}

/** A plan's size set against the plan. */
export function plannedWords({ plan }: PlanInput, { metric, point, golfers, smallest }: Settled): Planned {
  if (plan === undefined)
    return {
      planned: false,
      timing: 'no-plan',
      words:
        'No plan was given; what was assumed is stated above. Write it into a plan, with the size that follows, before the first session.',
      parts: [],
    };
  const rule = plan.stoppingRule;
  const parts = [
    comparedPart('the number that decides', plan.metric.column, metric.column),
    plan.smallestChangeThatMatters !== undefined
      ? comparedPart('the smallest change that matters', plan.smallestChangeThatMatters.value, smallest.value)
      : leftOpen('the smallest change that matters', `${smallest.value} ${smallest.unit} was taken`),
    comparedPart(
      'sessions in a phase',
      rule?.sessionsPerPhase,
      point.sessions,
      `${point.sessions} were taken`,
    ),
    comparedPart('swings in a session', rule?.swingsPerSession, point.swings, `${point.swings} were taken`),
    golfers === null
      ? leftOpen('golfers', 'their number is what is asked')
      : comparedPart('golfers', rule?.golfers, golfers, `${golfers} were taken`),
  ];
  return {
    planned: plan.metric.column === metric.column,
    timing: 'not-known',
    words:
      'A plan was given. This works out its size and answers nothing about the drill, so there is nothing in it that data could have suggested, unless the SDs came from data of the study itself.',
    parts,
  };
}
