// %% [markdown]
// # When in the downswing do they differ?
//
// **The question.** A number read at one instant (the top, delivery, impact) sees one moment. Between the moments a
// whole curve runs: how far the trail elbow is bent, how far the club lags, from the top to impact. Where along it do
// two groups of golfers, or the same golfers before and after, differ, and by how much?
//
// **The data.** A folder of tables with `curves.csv` beside them: a row for each sample of a quantity of a swing, over per
// cent of the downswing. Measuring a folder of captures writes it; `generate --recipe waveform-window` makes an
// invented one, whose difference is known and stands in `truth.json`, which this notebook does not open.
//
// **The plan.** See the curves. Work out a t at one instant by hand. See why doing so at a hundred instants misleads,
// and mend it by rearranging golfers. Set beside it what random field theory says from the smoothness of the curves.
// Then let the study do all of it, and try to break its answer.

// %% The question, the data and the plan
import { describeProblems, loadCurves } from 'proving-range/dataset';
import { answered, closing, notebook, openDataset } from 'proving-range/notebook';
import { createStream, studentUpperQuantile } from 'proving-range/numerics';
import { formatInterval, formatQuantity, waveformFigures } from 'proving-range/report';
import {
  curveScores,
  curvesFrom,
  maximumCritical,
  maximumDistribution,
  maximumP,
  randomFieldThreshold,
  smoothness,
  tField,
} from 'proving-range/stats';
import { waveform } from 'proving-range/studies';

const { dataset, asked: given } = await openDataset();
const beside = await loadCurves(notebook.dataDir);
if (beside.problems.length > 0) notebook.show(describeProblems(beside.problems));
if (!beside.valid || beside.value === null)
  throw new Error('this notebook needs curves.csv beside the tables, without errors.');

/** To ask about another quantity of curves.csv, name it here, such as 'lag_angle'. */
const quantity: string | undefined = given.metric;

// %% [markdown]
// ## The curves
//
// Each golfer gives **one** curve: the mean of the golfer's own swings. Swings of one golfer are like one another, so that
// ten more swings of one golfer are not ten more golfers; whatever is said here rests on the number of golfers.
//
// Where `curve-instants.csv` says when each swing passed instants such as lead arm parallel, curves are *registered*: time
// is stretched piecewise so that like instants meet (Kneip and Gasser 1992, Ann Stat 20:1266). That takes differences in
// timing out of the curves; they are then shown by themselves. Without instants, only top and impact meet.

// %%
const finding = answered(
  waveform(dataset, {
    ...given,
    curves: beside.value,
    ...(quantity === undefined ? {} : { metric: quantity }),
  }),
);
const { nodes, golfers, methods, axis, windows } = finding.tables;
const figures = waveformFigures(finding);
const show = (id: string) => figures.filter((figure) => figure.id === id).forEach(notebook.show);
show('curves');
show('golfers');

// %% [markdown]
// ## One instant by hand
//
// Half-way down, compare the golfers as in any textbook: the difference of the means over its standard error. With two
// groups both share one variance; for one group the mean change is set against none.

// %%
const groups = finding.design.arms.map(({ arm }) => arm);
const half = Math.floor(nodes.length / 2);
const valuesOf = (group: string | undefined) =>
  golfers
    .filter((golfer) => group === undefined || golfer.group === group)
    .map(({ values }) => values[half]!);
const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
const squares = (values: readonly number[]) =>
  values.reduce((sum, value) => sum + (value - mean(values)) ** 2, 0);
const [asked, others] =
  groups.length === 2 ? [valuesOf(groups[0]), valuesOf(groups[1])] : [valuesOf(undefined), []];
const when = axis.unit === '%' ? 'at (% of the downswing)' : 'at (ms)';
const byNumber = finding.design.kind === 'golfers by a number of theirs';
const freedom = golfers.length - (others.length > 0 ? 2 : 1);
const variance = (squares(asked) + squares(others)) / freedom;
const handT =
  others.length > 0
    ? (mean(asked) - mean(others)) / Math.sqrt(variance * (1 / asked.length + 1 / others.length))
    : mean(asked) / Math.sqrt(variance / asked.length);

byNumber
  ? 'A slope on a number of the golfer is left to the study.'
  : [
      { 'worked out': 'by hand', [when]: nodes[half]!.time, t: handT },
      {
        'worked out': 'by the study',
        [when]: nodes[half]!.time,
        t: nodes[half]!.t,
      },
    ];

// %% [markdown]
// ## A hundred instants are not one
//
// At one instant, |t| exceeds the tabled value by chance once in twenty times. Looked for *anywhere* along the curve it
// does so far oftener. What is wanted is the value that the **largest** |t| along the whole curve exceeds once in twenty
// times. If nothing differs, it does not matter which golfer stood in which group (or whether a change is called plus
// or minus), so golfers are rearranged, and the largest |t| noted each time (Nichols and Holmes 2002, Hum Brain Mapp 15:1).
//
// *Random field theory* gets the same from the smoothness of what is left over: the expected number of stretches above a
// height (Worsley et al. 1996, Hum Brain Mapp 4:58; for movement curves Pataky, Robinson and Vanrenterghem 2013, J Biomech
// 46:2394). It supposes normal curves; rearranging does not.

// %%
const question =
  groups.length === 2
    ? { kind: 'two-sample' as const, second: golfers.map(({ group }) => group === groups[0]) }
    : { kind: 'one-sample' as const };
const scores = curveScores(curvesFrom(golfers.map(({ values }) => values)), question);
const field = tField(scores);
const largest = maximumDistribution(scores, { stream: createStream(notebook.seed, 'by hand') });
const smooth = smoothness(field, golfers.length);
const { degreesOfFreedom } = field;
const observed = field.t.reduce((most, value) => Math.max(most, Math.abs(value)), 0);

byNumber
  ? 'A slope on a number of the golfer is left to the study.'
  : [
      {
        'to be exceeded once in twenty times': 'at one instant, from the t table',
        '|t|': studentUpperQuantile(0.025, degreesOfFreedom),
      },
      {
        'to be exceeded once in twenty times': 'anywhere, by rearranging golfers',
        '|t|': maximumCritical(largest, 0.95),
      },
      {
        'to be exceeded once in twenty times': 'anywhere, by random field theory',
        '|t|': randomFieldThreshold({ degreesOfFreedom, length: smooth.length }, nodes.length, 0.95).value,
      },
      {
        'to be exceeded once in twenty times': 'as used by the study',
        '|t|': methods.critical,
      },
      {
        'to be exceeded once in twenty times': 'observed here, the largest',
        '|t|': observed,
      },
    ];

// %%
notebook.markdown(
  byNumber
    ? 'The p value of the study stands among its checks.'
    : `The largest |t| has p = ${Number(maximumP(largest, observed).value.toPrecision(2))} ` +
        `(${largest.exact ? `all ${largest.count} ways to rearrange the golfers` : `${largest.count} of the ways, drawn with the seed of this notebook`}). ` +
        `What is left over varies over a width of ${Math.round(methods.fwhm ?? 0)}${axis.unit === '%' ? '% of the downswing' : ' ms'}.`,
);

// %% [markdown]
// ## The answer of the study
//
// The band adds and takes away that many standard errors at every instant, and so holds the true difference along the
// whole downswing at once. Where it leaves out none, the curves differ; where it lies beyond the smallest difference that
// matters, they differ by as much as matters. No verdict rests on a p value.

// %%
finding;

// %%
show('difference');
windows.map(({ from, to, peakAt, peak, peakInterval, mean: over, meanInterval }) => ({
  [`from (${axis.unit})`]: from,
  [`to (${axis.unit})`]: to,
  [`clearest at (${axis.unit})`]: peakAt,
  difference: formatQuantity(peak, finding.metric.unit),
  'its interval': formatInterval(peakInterval, finding.metric.unit),
  'mean over the window': formatQuantity(over, finding.metric.unit),
  'interval of the mean': formatInterval(meanInterval, finding.metric.unit),
}));

// %% [markdown]
// ## What it takes for granted

// %%
notebook.show(notebook.markdown(`**The model in words.** ${finding.model.words}`));
finding.checks.map(({ name, outcome: how, words }) => ({
  check: name,
  outcome: how,
  'what was found': words,
}));

// %% [markdown]
// ## Trying to break it

// %%
finding.sensitivity.map(({ name, verdict, words }) => ({
  'asked another way': name,
  verdict,
  'what it shows': words,
}));

// %% [markdown]
// ## The answer, and what would change it

// %%
closing(finding, [
  'More golfers: the edges of a window move with their number, so a small difference may begin earlier and end later than is seen.',
  'Timing: where curves only run earlier or later, a difference of size is seen that is one of timing. Instants tell the two apart.',
]);
