// %% [markdown]
// # Did the drill change the number?
//
// **The question.** A coach says that a drill changes how a golfer swings. Some golfers of a roster did the drill,
// the others practised as usual, and everyone was measured before and after. Did the drill change the number, by
// how much, for whom, and how sure is that?
//
// **The data.** A folder of CSV tables: golfers, sessions, swings, who was put into which arm, and a log of
// practice. The demo folder is invented: nobody was measured, and the effect built into it is known (it stands in
// `truth.json`, which this notebook does not open). Give a folder of your own in its place with `--data`.
//
// **The plan.** Look at the data before any model: what is missing, how many golfers and swings there are, how the
// number is spread, how noisy one swing is. Work the answer out by hand. Then fit the model that uses every swing,
// and see whether it says the same. Last, try to break the answer. If the folder holds a `plan.json`, written
// before the data came in, it says which number decides and how big a change matters.

// %% The question, the number, the data and the plan
import { from, op } from 'arquero';
import { toArquero } from 'proving-range/dataset';
import { answered, closing, notebook, openDataset } from 'proving-range/notebook';
import {
  colour,
  decimalsFor,
  drillTrialFigures,
  type Figure,
  formatInterval,
  formatQuantity,
  linearAxis,
} from 'proving-range/report';
import { drillTrial } from 'proving-range/studies';
import { mean, median, quantile, sampleStandardDeviation, sampleVariance } from 'simple-statistics';

/** To ask of another number, name its column here; a plan in the folder comes first. */
const { dataset, metric, asked } = await openDataset({ metric: 'shaft_lean_impact_deg' });
const { tables } = dataset;
const inUnit = (name: string) => `${name} (${metric.unit})`;

// %% [markdown]
// ## Who was measured, and when
//
// The folder was checked before anything is worked out: missing columns, golfers that no table knows, words in a
// column of numbers, values that no swing can have. An error stops the notebook. A warning is a value worth looking
// up in the recording; it is kept, because leaving out what looks odd makes any drill look better than it is.
//
// Each swing is joined to its session, which tells the golfer and the phase, and to the golfer's arm. Only full
// swings answer the question; swings at drill speed come back at the end, for carry-over.
//
// Read the golfers down each arm. Whoever was measured before but not after may have left *because* of how it
// went, and a table of those who stayed cannot show that. (The CONSORT statement, Schulz, Altman and Moher 2010,
// asks every trial for these counts.)

// %%
const armOf = new Map<string, string>();
for (const row of [...tables.assignments.rows()].sort((a, b) => a.assigned_on.localeCompare(b.assigned_on))) {
  const first = armOf.get(row.golfer_id);
  armOf.set(row.golfer_id, first === undefined ? row.arm : `${first}, then ${row.arm}`);
}
const phases = ['baseline', 'training', 'post', 'retention'];

const values = tables.swings.numbers(metric.column);
const fullSwings = toArquero(tables.swings)
  .assign(from([...values].map((value) => ({ value }))))
  .join(toArquero(tables.sessions), 'session_id')
  .objects()
  .map((row) => row as { golfer_id: string; session_id: string; phase: string; task: string; value: number })
  .filter(({ task, value }) => task === 'full' && Number.isFinite(value))
  .map(({ golfer_id: golfer, session_id: session, phase, value }) => {
    return { golfer, session, arm: armOf.get(golfer) ?? 'in no arm', phase, value };
  });

from(fullSwings.map((swing) => ({ ...swing, order: phases.indexOf(swing.phase) })))
  .groupby('arm', 'order', 'phase')
  .rollup({
    golfers: op.distinct('golfer'),
    sessions: op.distinct('session'),
    'full swings': op.count(),
    [inUnit('mean')]: op.mean('value'),
    [inUnit('SD of all swings')]: op.stdev('value'),
  })
  .orderby('arm', 'order')
  .select('arm', 'phase', 'golfers', 'sessions', 'full swings', inUnit('mean'), inUnit('SD of all swings'));

// %% [markdown]
// ## How the number is spread
//
// A golfer's mean of a phase is the unit that matters: ten swings of one golfer are ten looks at one golfer, not
// ten golfers. Each dot below is one golfer's mean. Read three things: whether the arms start alike, whether a few
// golfers lie far from the rest, and how much of the picture is golfers being different from each other. That last
// part is what comparing each golfer with himself or herself takes away.

// %%
const golferPhases = from(fullSwings)
  .groupby('golfer', 'arm', 'phase')
  .rollup({ mean: op.mean('value'), variance: op.variance('value'), swings: op.count() })
  .orderby('arm', 'golfer')
  .objects()
  .map(
    (row) =>
      row as { golfer: string; arm: string; phase: string; mean: number; variance: number; swings: number },
  );
const arms = [...new Set(golferPhases.map(({ arm }) => arm))].sort();
const meansOf = (arm: string, phase: string) =>
  golferPhases.filter((row) => row.arm === arm && row.phase === phase).map((row) => row.mean);

arms.flatMap((arm) =>
  phases.flatMap((phase) => {
    const means = meansOf(arm, phase);
    if (means.length < 2) return [];
    return [
      {
        arm,
        phase,
        golfers: means.length,
        [inUnit('lower quarter')]: quantile(means, 0.25),
        [inUnit('median')]: median(means),
        [inUnit('upper quarter')]: quantile(means, 0.75),
        [inUnit('SD between golfers')]: sampleStandardDeviation(means),
      },
    ];
  }),
);

// %% The figure of it tags=["hide-input"]
const rows = arms.flatMap((arm) =>
  ['baseline', 'post'].map((phase) => ({ arm, phase, label: `${arm}\n${phase}` })),
);
const dots = rows.map((row, k) => ({
  ...row,
  at: rows.length - k,
  means: meansOf(row.arm, row.phase).sort((a, b) => a - b),
}));
const height = 110 + 56 * rows.length;
const spread: Figure = {
  id: 'spread',
  title: `Each golfer's mean ${metric.label}`,
  caption: 'One dot for each golfer, open before and filled after; the line is the median of the row.',
  description: dots
    .filter(({ means }) => means.length > 0)
    .map(
      ({ arm, phase, means }) =>
        `${arm}, ${phase}: ${means.length} golfers from ${formatQuantity(means[0], metric.unit)} to ` +
        `${formatQuantity(means.at(-1), metric.unit)}, median ${formatQuantity(median(means), metric.unit)}.`,
    )
    .join(' '),
  data: dots.map(({ label, phase, at, means }) => ({
    type: 'scatter',
    mode: 'markers',
    name: label.replace('\n', ', '),
    x: means,
    // Neighbours are set one above the other, in threes, so that none hides another.
    y: means.map((_, i) => at + [0, 0.16, -0.16][i % 3]!),
    hovertext: means.map((value) => `${label.replace('\n', ', ')}\n${formatQuantity(value, metric.unit)}`),
    marker: { color: colour.ink, size: 8, symbol: phase === 'baseline' ? 'circle-open' : 'circle' },
    showlegend: false,
  })),
  layout: {
    xaxis: linearAxis(
      dots.flatMap(({ means }) => means),
      { title: `${metric.label} (${metric.unit})` },
    ),
    yaxis: {
      range: [0.4, rows.length + 0.6],
      tickvals: dots.map(({ at }) => at),
      ticktext: dots.map(({ label }) => label),
      showgrid: false,
    },
    shapes: dots
      .filter(({ means }) => means.length > 0)
      .map(({ at, means }) => ({
        type: 'line',
        x0: median(means),
        x1: median(means),
        y0: at - 0.32,
        y1: at + 0.32,
        xref: 'x',
        yref: 'y',
        layer: 'above',
        line: { color: colour.third, width: 3 },
      })),
    height,
    showlegend: false,
  },
  table: {
    columns: [
      { key: 'golfer', label: 'golfer' },
      { key: 'arm', label: 'arm' },
      { key: 'phase', label: 'phase' },
      { key: 'mean', label: 'mean', unit: metric.unit },
    ],
    rows: golferPhases
      .filter(({ phase }) => phase === 'baseline' || phase === 'post')
      .map(({ golfer, arm, phase, mean: value }) => ({ golfer, arm, phase, mean: value })),
  },
};
notebook.show(spread);

// %% [markdown]
// ## How noisy one swing is
//
// A golfer never swings the same way twice, and the measurement adds its own error. Pooled over golfers and phases,
// that is the SD of one swing around the golfer's own mean of that phase. Two single swings of a golfer who has not
// changed at all differ by more than 1.96 x √2 x that SD once in twenty times: the smallest change that can be seen
// from one swing each time. With k swings each time it shrinks by √k. (Bland and Altman 1996, BMJ 313:744; Weir
// 2005, J Strength Cond Res 19:231.)
//
// This is the best case. A golfer also has good and bad *days*, which more swings on one day do not average away;
// only more days do.

// %%
const several = golferPhases.filter(({ swings }) => swings > 1);
const freedom = several.reduce((sum, { swings }) => sum + swings - 1, 0);
const swingSd = Math.sqrt(
  several.reduce((sum, { swings, variance }) => sum + (swings - 1) * variance, 0) / freedom,
);
const typicalSwings = median(golferPhases.map(({ swings }) => swings));
const visible = (k: number) => (1.96 * Math.SQRT2 * swingSd) / Math.sqrt(k);

notebook.markdown(
  `One swing varies with an SD of **${formatQuantity(swingSd, metric.unit, 2)}** around the golfer's own mean ` +
    `(${freedom} degrees of freedom). For one golfer, a change must exceed ` +
    `${formatQuantity(visible(1), metric.unit)} to be seen from one swing each time, and ` +
    `${formatQuantity(visible(typicalSwings), metric.unit)} from ${typicalSwings} swings each time, the usual number here.`,
);

// %% [markdown]
// ## The answer by hand
//
// Take each golfer's mean after minus the same golfer's mean before. The mean of these changes in the drill arm
// holds everything that happened meanwhile: the drill, but also practice, the season, and *regression to the mean*
// (whoever is chosen for a poor day does better the next time, drill or no drill; Barnett, van der Pols and Dobson
// 2005, Int J Epidemiol 34:215). The arm without the drill has all of that except the drill. So the drill's own
// effect is the **difference between the arms' mean changes**, and its standard error is √(s₁²/n₁ + s₂²/n₂) (Welch
// 1947), where n counts golfers, never swings.

// %%
const change = (golfer: string): number | null => {
  const at = (phase: string) =>
    golferPhases.find((row) => row.golfer === golfer && row.phase === phase)?.mean;
  const [before, after] = [at('baseline'), at('post')];
  return before === undefined || after === undefined ? null : after - before;
};
const changes = new Map(
  arms.map((arm) => {
    const golfers = [...new Set(golferPhases.filter((row) => row.arm === arm).map((row) => row.golfer))];
    return [arm, golfers.map(change).filter((value) => value !== null)];
  }),
);

[...changes]
  .filter(([, own]) => own.length > 1)
  .map(([arm, own]) => ({
    arm,
    'golfers measured twice': own.length,
    [inUnit('mean change')]: mean(own),
    [inUnit('SD of the changes')]: sampleStandardDeviation(own),
    [inUnit('standard error')]: sampleStandardDeviation(own) / Math.sqrt(own.length),
  }));

// %% [markdown]
// ## The model
//
// By hand, a golfer with three swings counts as much as one with twelve, whoever was not measured twice is thrown
// away, and golfers who started high are not told from those who started low. A mixed model mends all three: every
// full swing before and after counts, golfers who came only once still say what they can, and the arms are held to
// start alike, because before the drill they differ by chance alone (Liang and Zeger 2000, Sankhya B 62:134). The
// degrees of freedom are those of Kenward and Roger (1997, Biometrics 53:983), which keep intervals honest when
// golfers are few.
//
// The next cell runs the same study as the command `ask drill-trial`; the page and the notebook show one Finding.

// %%
const finding = answered(drillTrial(dataset, asked));
finding;

// %% [markdown]
// Against the answer by hand:

// %%
const [effect] = finding.estimates;
const drillArm = finding.design.arms.find(({ role }) => role === 'drill')?.arm ?? '';
const controlArm = finding.design.arms.find(({ role }) => role === 'control')?.arm ?? '';
const [drilled, others] = [changes.get(drillArm) ?? [], changes.get(controlArm) ?? []];
const canCompare = finding.design.kind === 'parallel' && drilled.length > 1 && others.length > 1;

canCompare && effect !== undefined
  ? [
      {
        'worked out': 'by hand: difference of mean changes',
        [inUnit('effect')]: mean(drilled) - mean(others),
        [inUnit('standard error')]: Math.sqrt(
          sampleVariance(drilled) / drilled.length + sampleVariance(others) / others.length,
        ),
        [inUnit('low')]: null,
        [inUnit('high')]: null,
      },
      {
        'worked out': 'by the model',
        [inUnit('effect')]: effect.value,
        [inUnit('standard error')]: null,
        [inUnit('low')]: effect.interval[0],
        [inUnit('high')]: effect.interval[1],
      },
    ]
  : 'Only two groups side by side can be worked out by hand in one line; this design is left to the model.';

// %% [markdown]
// ## How big, against what matters
//
// The shaded zone holds effects too small to matter, in either direction. An interval wholly beyond the zone is an
// answer; so is one wholly inside it. An interval that reaches from one into the other says that the data allow
// both. No verdict here rests on whether an interval leaves out zero: a difference can be real and still not be
// worth an hour of practice.

// %%
const figures = drillTrialFigures(finding);
const show = (id: string) => figures.filter((figure) => figure.id.startsWith(id)).forEach(notebook.show);
const smallest = finding.smallestChange;
show('estimate');
if (smallest !== null)
  notebook.show(
    notebook.markdown(
      `**Smallest change that matters:** ${formatQuantity(smallest.value, smallest.unit)}. ${smallest.why}`,
    ),
  );

// %% [markdown]
// ## Each golfer
//
// A golfer's own change is partly chance: with few or scattered swings, mostly. Each is therefore pulled toward the
// mean of the arm, the more so the noisier it is (Morris 1983, J Am Stat Assoc 78:47). The pulled-in changes are
// better forecasts, and no one should be praised or worried over the raw ones.
//
// Whether golfers truly *respond* differently is another question. Changes vary in the arm without the drill too, and
// only the part by which the drill arm varies more can be response (Atkinson and Batterham 2015, Exp Physiol
// 100:577). It is often small, and its estimate can come out below zero; it is then shown as it came out.

// %%
show('golfers');

// %% [markdown]
// ## Before, after and later
//
// Did it last, and did it carry over? A drill is done slowly. What counts is the full swing, after the training and
// again some weeks later.

// %%
show('groups');
show('dose');
finding.estimates.map(({ name, value, interval, unit, degreesOfFreedom }) => {
  const [low, high] = interval;
  const decimals = decimalsFor(low === null || high === null ? null : (high - low) / 2);
  return {
    'what was estimated': name,
    estimate: formatQuantity(value, unit, decimals),
    interval: formatInterval(interval, unit, decimals),
    'degrees of freedom': degreesOfFreedom,
  };
});

// %% [markdown]
// ## What the model takes for granted

// %%
notebook.show(notebook.markdown(`**The model in words.** ${finding.model.words}`));
notebook.show(notebook.markdown(`**The design.** ${finding.design.words}`));
finding.checks.map(({ name, outcome: how, words }) => ({
  check: name,
  outcome: how,
  'what was found': words,
}));

// %% [markdown]
// ## Trying to break it
//
// The same question asked in other ways that would have been just as reasonable. If the answer turns on one golfer
// or one choice, it is that golfer's or that choice's answer.

// %%
finding.sensitivity.map(({ name, verdict, words }) => ({
  'asked another way': name,
  verdict,
  'what it shows': words,
}));

// %% [markdown]
// ## What was left out
//
// Nothing is dropped silently: these rows did not enter the main comparison, each with its reason.

// %%
finding.leftOut.map(({ table, count, why, ids }) => ({
  table,
  count,
  why,
  'the first of them': ids.slice(0, 5).join(', '),
}));

// %% [markdown]
// ## The answer, and what would change it

// %%
closing(finding, [
  'A cause at work in one arm only (a new instructor, other clubs, more lessons): it would look the same as the drill.',
]);
