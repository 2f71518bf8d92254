// %% [markdown]
// # Does the method tell the truth?
//
// **The question.** Every answer here comes with an interval that is said to hold the truth in 95 of 100 such studies,
// and with a verdict that is said to find nothing where nothing is there. Is that so?
//
// **The data.** None of golfers: of real golfers nobody knows the truth. Cohorts are drawn of which it is known, two thousand
// of each kind, and put to the studies as if it were not. Their counts are in `reports/calibration`, the folder to give with
// `--data`; the command `calibrate` makes them again.
//
// **The plan.** First see by hand, on the simplest case, what counting coverage means and what a method looks like that
// is too sure. Then read the counts of all studies against the band of 93.5 to 96.5%, which was fixed before.

// %% Tools
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { notebook } from 'proving-range/notebook';
import { createStream, studentQuantile } from 'proving-range/numerics';
import { calibrationFigures, formatNumber } from 'proving-range/report';
import type { CalibrationTables, Finding } from 'proving-range/studies';
import { calibrationFinding } from 'proving-range/studies';

const percent = (share: number, decimals = 1) => `${formatNumber(100 * share, decimals)}%`;

// %% [markdown]
// ## By hand: ten swings, two thousand times
//
// Ten values of a golfer whose true mean is 3 give a mean and Student's interval. Draw them two thousand times and count how often
// the interval holds 3. Then halve the interval, as a method would that forgets half of the noise, and count again. By
// Student's distribution the halved one must hold the truth in 71.27% (nine degrees of freedom), and so it is caught.

// %% Counting
const cohorts = 2000;
const quantile = studentQuantile(0.975, 9);
const held = { whole: 0, halved: 0 };
for (let k = 0; k < cohorts; k++) {
  const stream = createStream(1, 'by hand', k);
  const values = Array.from({ length: 10 }, () => 3 + 2 * stream.normal());
  const mean = values.reduce((sum, value) => sum + value, 0) / 10;
  const sd = Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / 9);
  const half = (quantile * sd) / Math.sqrt(10);
  if (Math.abs(mean - 3) <= half) held.whole += 1;
  if (Math.abs(mean - 3) <= half / 2) held.halved += 1;
}
const monteCarloError = (count: number) => Math.sqrt(((count / cohorts) * (1 - count / cohorts)) / cohorts);
notebook.show(
  Object.entries(held).map(([interval, count]) => ({
    interval,
    'held the truth (%)': 100 * (count / cohorts),
    'Monte Carlo error (%)': 100 * monteCarloError(count),
  })),
);

// %% [markdown]
// ## All studies
//
// The counts of every kind of cohort and every quantity, as they were committed.

// %% The answer
const text = await readFile(join(notebook.dataDir, 'finding.json'), 'utf8');
const finding = JSON.parse(text) as Finding<CalibrationTables>;
if (finding.study !== 'calibration')
  throw new Error(
    'finding.json is of another study; give the folder that the command calibrate has written.',
  );
notebook.show(finding);

// %% Coverage against the band
for (const figure of calibrationFigures(finding)) notebook.show(figure);

// %% [markdown]
// ## What lies outside, and why

// %%
const { rows } = finding.tables;
const outside = rows.filter(({ standing }) => ['too-low', 'too-high', 'cannot-tell'].includes(standing));
notebook.show(
  outside.map(({ study, case: kind, quantity, covered, coveredInterval, why }) => ({
    study,
    'cohorts of': kind,
    quantity,
    held: percent(covered!),
    'Monte Carlo': `${percent(coveredInterval![0])} to ${percent(coveredInterval![1])}`,
    'what is known': why,
  })),
);

// %% [markdown]
// ## Where nothing is there
//
// How often a verdict, or a test at 5%, found something in cohorts in which there was nothing to find.

// %%
notebook.show(
  rows
    .filter(({ falseAlarms }) => falseAlarms !== 'not-asked')
    .map(({ study, case: kind, quantity, meaningful, meaningfulInterval, mostFalse }) => ({
      study,
      'cohorts of': kind,
      quantity,
      found: percent(meaningful!, 2),
      'Monte Carlo': `${percent(meaningfulInterval![0], 2)} to ${percent(meaningfulInterval![1], 2)}`,
      promised: `at most ${percent(mostFalse!, 0)}`,
    })),
);

// %% [markdown]
// ## Drawn again
//
// A few cohorts of one study, drawn here: too few to tell anything, as the verdict says, but they show that the counts can
// be made by anybody. The same seed gives the same numbers on any machine.

// %%
const again = await calibrationFinding({ studies: ['one-golfer'], cohorts: 40, seed: 1 });
if (!again.ok) throw new Error('the request was refused');
notebook.markdown(`${again.finding.answer}\n\nVerdict: ${again.finding.verdict}.`);

// %% [markdown]
// ## The answer, and what would change it

// %%
notebook.markdown(
  `**${finding.answer}**

Three things would change this answer: cohorts of another kind, such as golfers whose swings are not spread like a bell curve
or whose days hang together in ways that were not planted; another number of golfers, since most of what is off is off
because few golfers say little about SDs; and a mended method, after which \`calibrate\` has to be run again.
What no count of this sort can show is whether real golfers are like the cohorts.`,
);
