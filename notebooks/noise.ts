// %% [markdown]
// # How noisy is this number?
//
// **The question.** A golfer's shaft lean went from 4 to 6 degrees. Did the golfer change, or is that what the number
// does by itself from swing to swing and from day to day? How many swings and sessions does it take to see a change
// that matters?
//
// **The data.** A folder of CSV tables with golfers, sessions and swings. Best are golfers measured several times with
// nothing taught in between; `generate --recipe noise-two-devices` makes an invented roster of that kind, on which two
// devices saw the same swings. Give a folder of your own with `--data`.
//
// **The plan.** Look at the repeats. Take the spread apart by hand: swings within a session, sessions within a golfer,
// golfers. Make of it the standard error of measurement and the smallest detectable change. Then let the study do the
// same with intervals, and ask what would make a change that matters visible. If the folder holds a `plan.json`, it
// says which number decides and how big a change matters.

// %% The question, the number, the data and the plan
import { answered, closing, notebook, openDataset } from 'proving-range/notebook';
import { noiseFigures } from 'proving-range/report';
import { noise } from 'proving-range/studies';
import { mean, sampleVariance } from 'simple-statistics';

/** To ask of another number, name its column here; a plan in the folder comes first. */
const { dataset, metric, asked } = await openDataset({ metric: 'shaft_lean_impact_deg' });

// %% [markdown]
// ## The study's answer
//
// The same as the command `ask noise`; page, command and notebook show one Finding.

// %%
const finding = answered(noise(dataset, asked));
finding;

// %% [markdown]
// ## The same by hand
//
// The swings the study used, session by session. Three mean squares are all there is to it:
//
// - swings around their session's mean, pooled: the variance of a swing;
// - session means around their golfer's mean, pooled: the variance of a session, plus what its swings add to its mean;
// - golfers' means around the mean of all: the variance of golfers, plus what sessions and swings add.

// %%
const { tables } = dataset;
const unused = new Set(finding.leftOut.flatMap(({ table, ids }) => (table === 'swings' ? ids : [])));
const golferOf = new Map([...tables.sessions.rows()].map((row) => [row.session_id, row.golfer_id]));
const values = tables.swings.numbers(metric.column);
const sessionIds = tables.swings.column('session_id');
const sessions = new Map<string, number[]>();
tables.swings.column('swing_id').forEach((swing, i) => {
  if (swing === null || unused.has(swing)) return;
  const session = sessionIds[i] ?? '';
  sessions.set(session, [...(sessions.get(session) ?? []), values[i]!]);
});
const golfers = new Map<string, string[]>();
for (const session of sessions.keys()) {
  const golfer = golferOf.get(session) ?? '';
  golfers.set(golfer, [...(golfers.get(golfer) ?? []), session]);
}
/** Variances pooled by their degrees of freedom. */
const pooled = (groups: readonly (readonly number[])[]) => {
  const telling = groups.filter((group) => group.length > 1);
  const df = telling.reduce((sum, group) => sum + group.length - 1, 0);
  const squares = telling.reduce((sum, group) => sum + sampleVariance([...group]) * (group.length - 1), 0);
  return { df, variance: df === 0 ? null : squares / df };
};
const within = pooled([...sessions.values()]);
const between = pooled(
  [...golfers.values()].map((own) => own.map((session) => mean(sessions.get(session)!))),
);
[
  { 'mean square': 'swings around their session', ...within },
  { 'mean square': 'session means around their golfer', ...between },
].map(({ 'mean square': what, df, variance }) => ({
  'mean square': what,
  'degrees of freedom': df,
  [`variance (${metric.unit}²)`]: variance,
}));

// %% [markdown]
// Take from the second what the swings add to a session's mean, and the day-to-day variance is left. The **standard
// error of measurement** of a mean of k swings in each of m sessions is √(session variance / m + swing variance / (m k)).
// Two such means differ by noise alone by up to 1.96 √2 times that in 95 of 100 comparisons: the **smallest detectable
// change** (Weir 2005, J Strength Cond Res 19:231-240).

// %%
const { now, basis } = finding.tables;
const perSwing = mean([...sessions.values()].map((own) => 1 / own.length));
const swingVariance = within.variance ?? 0;
const sessionVariance = Math.max(0, (between.variance ?? 0) - perSwing * swingVariance);
const byHand = (m: number, k: number) =>
  1.96 * Math.SQRT2 * Math.sqrt(sessionVariance / m + swingVariance / (m * k));
const estimate = (key: string) => finding.estimates.find((one) => one.key === key)?.value ?? null;
const [hand, study] = [`by hand (${metric.unit})`, `by the study (${metric.unit})`];
[
  {
    what: 'SD between swings',
    [hand]: Math.sqrt(swingVariance),
    [study]: estimate('sd-swing'),
  },
  {
    what: 'SD between sessions',
    [hand]: Math.sqrt(sessionVariance),
    [study]: estimate('sd-session'),
  },
  {
    what: `smallest detectable change, ${now.sessions} x ${now.swings} swings each time`,
    [hand]: byHand(now.sessions, now.swings),
    [study]: estimate('detectable-now'),
  },
];

// %% [markdown]
// They differ by little where golfers have uneven numbers of sessions or swings, and by more where the study first took
// out what all golfers changed by from phase to phase (it says above which sessions it used and why).
//
// ## What can be seen, and where the spread comes from

// %%
for (const figure of noiseFigures(finding)) notebook.show(figure);

// %% [markdown]
// ## How reliably sessions tell golfers apart
//
// An intraclass correlation is the share of the spread that is golfers. Which of its six forms is right depends on what
// counts as error: for change in one golfer, **agreement** (what everybody moved by counts); for ranking golfers,
// **consistency** (McGraw and Wong 1996, Psychol Methods 1:30-46). A high one does not mean a small change can be seen:
// it rises when golfers differ more, and the standard error of measurement does not.

// %%
finding.tables.correlations.map(({ name, otherName, form, of, estimate: value, interval }) => ({
  name,
  'also written': otherName,
  form,
  of: of === 'single' ? 'one session' : 'mean of these sessions',
  estimate: value,
  low: interval?.[0] ?? null,
  high: interval?.[1] ?? null,
}));

// %% [markdown]
// ## Asked in other ways
//
// The same question under choices that would have been just as reasonable.

// %%
finding.sensitivity.map(({ what, verdict, words }) => ({
  'asked another way': what,
  verdict,
  'what it shows': words,
}));

// %% [markdown]
// ## The answer, and what would change it

// %%
closing(finding, [
  basis === 'repeats'
    ? 'Other people handling the device, another range, another season: noise belongs to all of them.'
    : 'Repeats with nothing taught in between, which this folder does not have.',
]);
