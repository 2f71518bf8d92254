// %% [markdown]
// # How many golfers, and how many swings?
//
// **The question.** Before a trial of a drill: how many golfers must take part, and how many swings must each of them
// make, so that the trial can tell whether the drill changes the number by as much as matters?
//
// **The data.** None yet. How golfers differ, change and vary from swing to swing comes from a recipe, whose numbers are
// invented. If the folder given with `--data` holds a roster, its own SDs are used beside the recipe's.
//
// **The plan.** Work out the size by hand, from the closed form. Then simulate the trial with the very model that will
// be used, and see whether it says the same. Then look at what the trial would say if the drill did nothing.

// %% Tools and assumptions
import { loadDataset } from 'proving-range/dataset';
import { metricByColumn } from 'proving-range/kinematics';
import { notebook } from 'proving-range/notebook';
import { planFigures } from 'proving-range/report';
import { prePostVarianceFactor } from 'proving-range/stats';
import { planFinding } from 'proving-range/studies';
import { loadRecipe, trialComponents } from 'proving-range/synthetic';

const read = await loadRecipe('drill-parallel-effect');
if (!read.valid) throw new Error('The recipe has faults; mend it and run the notebook again.');
const { recipe } = read;
const metric = metricByColumn('shaft_lean_impact_deg');
const spread = trialComponents(recipe, metric.column);
if (spread === null)
  throw new Error(`A recipe does not describe ${metric.column} by SDs; take another number.`);

/** What would be worth coaching for, and the smallest true effect one would be glad to have found. */
const smallest = 1;
const effect = 2.2;
const swings = 8;
notebook.show(
  [
    { part: 'between golfers', sd: spread.golferSd },
    { part: "golfers' own changes", sd: spread.changeSd },
    { part: 'responses to the drill', sd: spread.responseSd },
    { part: 'sessions', sd: spread.sessionSd },
    { part: 'swings', sd: spread.swingSd },
  ].map(({ part, sd }) => ({ part, [`SD (${metric.unit})`]: sd })),
);

// %% [markdown]
// ## By hand
//
// A golfer's mean in a phase has the variance of the golfer's level, of the day and of the mean of the swings. Before
// and after share the level, so knowing where a golfer started takes away the square of their correlation (Frison and
// Pocock 1992). The verdict asks that the whole interval lies beyond the smallest change, so what counts is how far the
// effect lies beyond it: with 80% chance that takes 1.96 + 0.84 standard errors.

// %% The closed form
const noise = spread.sessionSd ** 2 + spread.swingSd ** 2 / swings;
const change = spread.changeSd ** 2 + spread.responseSd ** 2 / 2;
const before = spread.golferSd ** 2 + noise;
const after = spread.golferSd ** 2 + change + noise;
const correlation = spread.golferSd ** 2 / Math.sqrt(before * after);
const factor = prePostVarianceFactor(1, 1, correlation);
const perArm = 2 * after * factor * ((1.96 + 0.8416) / (effect - smallest)) ** 2;
const byHand = 2 * Math.ceil(perArm);
notebook.markdown(
  `The correlation of before and after is ${correlation.toFixed(3)}, the variance that is left ${factor.toFixed(3)} of the whole. By hand: **${byHand} golfers in all**, if nobody leaves and the variances are known.`,
);

// %% By simulation, with the model that will be used
const outcome = await planFinding({
  recipe,
  metric: metric.column,
  effect,
  change: smallest,
  swings,
  leaving: 0,
});
if (!outcome.ok) {
  notebook.show(outcome.problems);
  throw new Error('The plan cannot be worked out; see above.');
}
const { finding } = outcome;
const simulated = finding.estimates[0]?.value ?? null;
notebook.markdown(
  `${finding.answer}\n\nBy hand ${byHand}, by simulation **${simulated}**. The simulation pays for what the closed form takes as known: variances that have to be estimated from few golfers, with Kenward-Roger degrees of freedom.`,
);

// %% [markdown]
// ## The grid of designs
//
// More swings help only as far as swings are what is noisy: what golfers do on another day is not averaged away by
// more swings on the same day. The second figure is the one that is forgotten: what the trial says if there is nothing
// to find.

// %% With an effect, and without
for (const figure of planFigures(finding)) notebook.show(figure);

// %% Golfers of your own
const roster = await loadDataset(notebook.dataDir).catch(() => null);
const own =
  roster?.valid === true
    ? await planFinding({ dataset: roster.value, metric: metric.column, effect, change: smallest, swings })
    : null;
notebook.markdown(
  own === null
    ? 'No roster was given, so the recipe stands alone.'
    : own.ok
      ? `From the SDs of the roster: ${own.finding.answer}`
      : `The roster cannot say: ${own.problems.map(({ found }) => found).join('; ')}.`,
);

// %% [markdown]
// ## The answer, and what would change it

// %% The answer
notebook.show(
  notebook.markdown(
    [
      `**${finding.answer}**`,
      'It would be another if the smallest change that matters were another, if the true effect were smaller than the one assumed, if golfers changed more of themselves than the recipe says, or if those left who do not progress.',
      ...finding.cautions.map((caution) => `- ${caution}`),
    ].join('\n\n'),
  ),
);
notebook.show(finding);
