// %% [markdown]
// # Has this golfer changed?
//
// **The question.** One golfer came many times: some sessions before a training began, some with it. Did a number of
// the swing change, by how much, is that more than days differ anyway, and does the way the design was drawn say that
// the training did it?
//
// **The data.** A folder of CSV tables with several sessions of the golfer; `generate --recipe single-golfer-abab`
// makes an invented one. The phase of a session is in `sessions.csv`: `baseline` is A, `training` and `post` are B. A
// training that was taken away again is written as `baseline` once more, so that baseline, training, baseline,
// training by date is ABAB.
//
// **The plan.** Look at the series session by session. Work the difference out by hand, and then again for every other
// place where the phases could have begun. Then ask the study, which allows for neighbouring days being alike, and
// see whether it says the same. If the folder holds a `plan.json`, it says who, which number, how big a change
// matters and whether the start was drawn at random.

// %% The question, the number, the data and the plan
import { answered, closing, notebook, openDataset } from 'proving-range/notebook';
import {
  decimalsFor,
  formatInterval,
  formatNumber,
  formatQuantity,
  oneGolferFigures,
} from 'proving-range/report';
import { oneGolfer } from 'proving-range/studies';
import { mean, sampleStandardDeviation } from 'simple-statistics';

/** To ask of another number, name its column here; a plan in the folder comes first. */
const { dataset, plan, metric, asked } = await openDataset({ metric: 'shaft_lean_impact_deg' });

// %% [markdown]
// ## Who is asked about
//
// The golfer is the plan's, else the one with the most sessions; to ask about another, name the code in the cell.

// %%
const { tables } = dataset;
const sessionsOf = new Map<string, number>();
for (const { golfer_id: id } of tables.sessions.rows()) sessionsOf.set(id, (sessionsOf.get(id) ?? 0) + 1);
const most = [...sessionsOf].sort(([, a], [, b]) => b - a)[0]?.[0];
const golfers = plan?.series?.golfers ?? (most === undefined ? [] : [most]);
if (golfers.length === 0) throw new Error('sessions.csv has no session: there is nobody to ask about.');
notebook.show(notebook.markdown(`Asked about: **${golfers.join(', ')}**.`));
[...sessionsOf].map(([golfer, sessions]) => ({ golfer, sessions })).slice(0, 20);

// %% [markdown]
// ## The series
//
// The unit is the session: the mean of its full swings. Eight swings of one day are eight looks at one day.

// %%
const values = tables.swings.numbers(metric.column);
const full = [...tables.swings.rows()]
  .map(({ session_id: session, task }, row) => ({ session, task, value: values[row] ?? Number.NaN }))
  .filter(({ task, value }) => task === 'full' && Number.isFinite(value));
const points = [...tables.sessions.rows()]
  .filter(({ golfer_id: golfer, phase }) => golfer === golfers[0] && phase !== 'retention')
  .sort((a, b) => a.date.localeCompare(b.date))
  .map(({ session_id: session, date, phase }) => {
    const own = full.filter((swing) => swing.session === session).map(({ value }) => value);
    const inB = phase !== 'baseline';
    return { session, date, phase, inB, swings: own.length, mean: own.length === 0 ? null : mean(own) };
  })
  .filter((point): point is typeof point & { readonly mean: number } => point.mean !== null);
points.map(({ session, date, phase, inB, swings, mean: own }) => ({
  session,
  date,
  phase: `${inB ? 'B' : 'A'} (${phase})`,
  swings,
  mean: formatQuantity(own, metric.unit, metric.decimals),
}));

// %% [markdown]
// ## By hand
//
// The mean of the B sessions less the mean of the A sessions, and how much sessions of one phase differ. A difference
// of a size that days make anyway says nothing.

// %%
const meansIn = (inB: boolean) => points.filter((point) => point.inB === inB).map((point) => point.mean);
const [before, after] = [meansIn(false), meansIn(true)];
const byHand = before.length === 0 || after.length === 0 ? null : mean(after) - mean(before);
const spread = (of: readonly number[]) => (of.length < 2 ? null : sampleStandardDeviation([...of]));
notebook.markdown(
  byHand === null
    ? 'There are no sessions before, or none after: nothing can be compared.'
    : `By hand, B less A is **${formatQuantity(byHand, metric.unit, 2)}** (${after.length} sessions in B, ${before.length} in A). ` +
        `Sessions of one phase differ with an SD of ${formatQuantity(spread(before), metric.unit, 2)} in A and ` +
        `${formatQuantity(spread(after), metric.unit, 2)} in B.`,
);

// %% [markdown]
// ## Had the phases begun elsewhere
//
// If the start of a phase was drawn at random, the same sessions would have been cut elsewhere with the same chance.
// The share of cuts that show a difference as large is the p of the randomisation test (Edgington and Onghena 2007).
// It needs no model of how days hang together; it needs the draw. With few sessions there are few cuts, and then no
// data whatever can give a small p. Here every cut is tried by hand, each phase at least three sessions long where the
// series allows it.

// %%
const lengths: number[] = [];
points.forEach(({ inB }, i) => {
  if (i === 0 || points[i - 1]?.inB !== inB) lengths.push(0);
  lengths[lengths.length - 1] = (lengths.at(-1) ?? 0) + 1;
});
const least = Math.min(plan?.series?.leastSessions ?? 3, ...lengths);
const differences: number[] = [];
const cut = (labels: readonly boolean[], phase: number): void => {
  const left = points.length - labels.length;
  const last = phase === lengths.length - 1;
  for (let size = last ? left : least; size <= left && size >= least; size++) {
    const longer = [...labels, ...Array.from({ length: size }, () => phase % 2 === 1)];
    if (!last) cut(longer, phase + 1);
    else {
      const of = (inB: boolean) => points.filter((_, i) => longer[i] === inB).map((point) => point.mean);
      differences.push(mean(of(true)) - mean(of(false)));
    }
  }
};
if (byHand !== null && points[0]?.inB === false) cut([], 0);
const asLarge = differences.filter((one) => Math.abs(one) >= Math.abs(byHand ?? 0) - 1e-9).length;
notebook.markdown(
  differences.length === 0
    ? 'The series does not begin with A, so no cuts are tried.'
    : `Of ${differences.length} cuts ${asLarge} show a difference as large: **p = ${formatNumber(asLarge / differences.length, 4)}**. ` +
        `With so many cuts no p can be smaller than ${formatNumber(1 / differences.length, 4)}.`,
);

// %% [markdown]
// ## The study
//
// The same with an interval that allows for neighbouring days being alike, and everything that stands beside it.

// %%
const finding = answered(oneGolfer(dataset, { ...asked, golfers }));
notebook.show(finding);

// %% [markdown]
// ## Session by session
//
// The shaded limits are made from the first A phase alone. While nothing changes, nearly all sessions fall within them.

// %%
for (const figure of oneGolferFigures(finding)) notebook.show(figure);

// %%
finding.estimates.map(({ name, value, interval, unit, meaning }) => {
  const [low, high] = interval;
  const decimals = decimalsFor(low === null || high === null ? Math.abs(value ?? 0) / 10 : (high - low) / 2);
  return {
    'what was estimated': name,
    estimate: formatQuantity(value, unit, decimals),
    interval: formatInterval(interval, unit, decimals),
    'what it means': meaning,
  };
});

// %% [markdown]
// ## Checks, and other ways of asking

// %%
notebook.show(
  finding.checks.map(({ name, outcome: how, words }) => ({
    check: name,
    outcome: how,
    'what was found': words,
  })),
);
finding.sensitivity.map(({ name, what, verdict }) => ({ 'asked another way': name, how: what, verdict }));

// %% [markdown]
// ## The answer, and what would change it

// %%
closing(finding, [
  'Something else that began when the training did: a new club, an injury healed, a change of season.',
]);
