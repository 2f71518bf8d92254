// %% [markdown]
// # Can we tell instructors apart?
//
// **The question.** An academy has several instructors, each with a few pupils. The averages of their pupils differ: they
// always do. How much of that is the instructors, how much is who came to them and how few they are, and can anybody be
// put in an order?
//
// **The data.** A folder of CSV tables with golfers, sessions (with the instructor of each) and swings, measured before and
// after. `generate --recipe instructors-some` makes an invented roster whose instructors differ by a known amount, and
// `instructors-none` one whose instructors do not. Give a folder of your own with `--data`.
//
// **The plan.** Look at the bare table that a noticeboard would show. See how wide chance alone spreads means of so few
// pupils. Shrink by hand. Then let the study take all uncertainties together, count ranks in the worlds that fit the
// data, and refuse an order where there is none. If the folder holds a `plan.json`, it says which number decides.

// %% The question, the number, the data and the plan
import { answered, closing, notebook, openDataset } from 'proving-range/notebook';
import { instructorsFigures } from 'proving-range/report';
import { instructors } from 'proving-range/studies';
import { mean, sampleVariance } from 'simple-statistics';

/** To ask of another number, name its column here; a plan in the folder comes first. */
const { dataset, plan, metric, asked } = await openDataset({ metric: 'shaft_lean_impact_deg' });

// %% [markdown]
// ## The study's answer
//
// The same as the command `ask instructors`; page, command and notebook show one Finding.

// %%
const finding = answered(instructors(dataset, asked));
finding;

// %% [markdown]
// ## The bare table, and why not to hang it up
//
// Mean gains as they are, for instructors with five pupils or more. Beside each stands its standard error: the SD of
// pupils within instructors over the root of the number of pupils. Two means closer than about 1.4 times the sum of their
// standard errors are not told apart at 5% (Goldstein and Healy 1995).

// %%
const { tables } = dataset;
const unused = new Set(finding.leftOut.flatMap(({ table, ids }) => (table === 'swings' ? ids : [])));
const values = tables.swings.numbers(metric.column);
const sessionRows = [...tables.sessions.rows()];
const sessionOf = new Map(sessionRows.map((row) => [row.session_id, row]));
const cells = new Map<string, { before: number[]; after: number[]; instructor: string }>();
tables.swings.column('swing_id').forEach((swing, i) => {
  const session = sessionOf.get(tables.swings.column('session_id')[i] ?? '');
  if (swing === null || session === undefined || unused.has(swing)) return;
  const own = cells.get(session.golfer_id) ?? { before: [], after: [], instructor: '' };
  if (session.phase === (plan?.phases?.before ?? 'baseline')) own.before.push(values[i]!);
  else {
    own.after.push(values[i]!);
    own.instructor = session.instructor_id ?? '';
  }
  cells.set(session.golfer_id, own);
});
const gains = new Map<string, number[]>();
for (const { before, after, instructor } of cells.values())
  if (before.length > 0 && after.length > 0)
    gains.set(instructor, [...(gains.get(instructor) ?? []), mean(after) - mean(before)]);
const several = [...gains.values()].filter((own) => own.length > 1);
const withinVariance =
  several.reduce((sum, own) => sum + sampleVariance(own) * (own.length - 1), 0) /
  several.reduce((sum, own) => sum + own.length - 1, 0);
const bare = [...gains]
  .filter(([, own]) => own.length >= 5)
  .map(([instructor, own]) => ({
    instructor,
    pupils: own.length,
    gain: mean(own),
    error: Math.sqrt(withinVariance / own.length),
  }))
  .toSorted((a, b) => (a.instructor < b.instructor ? -1 : 1));
bare.map(({ instructor, pupils, gain, error }) => ({
  instructor,
  pupils,
  [`mean gain (${metric.unit})`]: gain,
  [`standard error (${metric.unit})`]: error,
}));

// %% [markdown]
// ## Shrinking by hand
//
// An instructor's mean is pulled toward the mean of all, the more the fewer pupils there are: by n / (n + within variance /
// between variance). With the study's own two SDs, and without its adjustment for case mix, that is near what it says;
// where it is not, the adjustment is the difference.

// %%
const estimate = (key: string) => finding.estimates.find((one) => one.key === key)?.value ?? null;
const ratio = ((estimate('within-sd') ?? 1) / (estimate('between-sd') ?? 1)) ** 2;
const all = mean([...gains.values()].map((own) => mean(own)));
bare.map(({ instructor, pupils, gain }) => ({
  instructor,
  [`shrunken by hand (${metric.unit})`]: ((gain - all) * pupils) / (pupils + ratio),
  [`by the study (${metric.unit})`]:
    finding.tables.instructors.find((row) => row.instructor === instructor)?.effect ?? null,
}));

// %% [markdown]
// ## Instructors, chance, and how many pupils it takes

// %%
for (const figure of instructorsFigures(finding)) notebook.show(figure);

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
  'Pupils who chose their instructor for a reason that is not in the tables: no adjustment takes that out.',
]);
