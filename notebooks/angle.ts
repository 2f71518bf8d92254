// %% [markdown]
// # Can I reproduce this published angle?
//
// **The question.** A paper says "elbow flexion was 16 degrees" and names its definition. Does anyone who takes the
// same points and the same definition get the same number, which steps lie between, how far off would another
// definition have been, and how many of its digits does the noise of the markers leave?
//
// **The data.** A folder with `points.csv` (columns `NAME_x`, `NAME_y`, `NAME_z`), `points.json` (which point is
// which) and, where there is something to compare with, `published.json`. The folder `notebooks/data/elbow` holds
// five points of an arm that pushes a wheelchair, from a public capture (its README says whose, and under which
// licence). An elbow is an elbow: a trail arm with the same five markers goes through the same steps. Give a folder of
// your own with `--data`.
//
// **The plan.** Work one row through from the points to the angle, every step with its equation and where it was
// published. Set the result against the published one. Put the other definitions of an elbow angle beside it on the
// same capture, and find out why they differ. Last, see what the noise of each marker does to the angle.

// %% Tools and points
import { existsSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import {
  type AngleStep,
  budgetOf,
  type CaptureResult,
  compareElbows,
  type IsbRow,
  readPoints,
  seriesOf,
  stepsOf,
} from 'proving-range/kinematics';
import { notebook } from 'proving-range/notebook';
import { curveFigure, decimalsFor, formatNumber, formatQuantity } from 'proving-range/report';
import { angleFinding, angleNames, readPublished } from 'proving-range/studies';
import { mean, median, sampleStandardDeviation } from 'simple-statistics';

interface PointsFile {
  readonly file: string;
  readonly side: 'right' | 'left';
  readonly points: Readonly<Record<string, string>>;
  /** The row that is shown step by step, counted from 1. */
  readonly row: number;
  /** SD of each coordinate of a marker, an assumption unless your laboratory has measured it. */
  readonly markerNoise_mm: number;
}
const readJson = async (name: string) => JSON.parse(await readFile(join(notebook.dataDir, name), 'utf8'));
const asked: PointsFile = await readJson('points.json');

/** The value of a result; its problems are shown, and stop the notebook. */
function known<T>(result: CaptureResult<T>): T {
  if (result.ok) return result.value;
  notebook.show(result.problems);
  throw new Error('the data have the faults listed above; mend them and run the notebook again.');
}
const table = known(
  readPoints({
    definition: 'isb-elbow',
    csvBytes: await readFile(join(notebook.dataDir, asked.file)),
    points: asked.points,
    side: asked.side,
  }),
);
const { row } = asked;

Object.entries(table.namesOf).map(([role, names]) => ({
  role: role.replaceAll('_', ' '),
  'column of the table': names.join(' + '),
}));

// %% [markdown]
// ## One row, from points to angle
//
// Two frames are built from the five points, one in the upper arm and one in the forearm. The angle is not *between*
// two lines: it is the turn that takes one frame into the other, taken apart into three turns that follow each other.
// The recommendation that says which axes and in which order is that of Wu et al. (2005); the idea of turns about the
// axes of the joint itself is that of Grood and Suntay (1983). Nothing below is worked out for show: these are the
// numbers of the function that every series in this project comes from.

// %% Steps to the frames
const worked = known(stepsOf(table, row));
const six = (value: number) => formatNumber(value, 6);
const isVector = ({ value }: AngleStep) => Array.isArray(value) && typeof value[0] === 'number';
worked.steps.filter(isVector).map(({ symbol, name, equation, value, source }) => {
  const [x, y, z] = (value as readonly number[]).map(six);
  return { step: `${symbol}: ${name}`, equation: equation || 'as measured', x, y, z, source };
});

// %% [markdown]
// Lengths are in the unit of the table; axes have length one. The three axes of the humerus are the columns of a
// matrix H, those of the forearm the columns of F. What the humerus sees of the forearm is **R = Hᵀ F**:

// %%
const matrix = worked.steps.find(({ symbol }) => symbol === 'R')?.value as readonly (readonly number[])[];
matrix.map((r, i) => ({
  R: `axis ${'xyz'[i]} of the humerus`,
  'x of the forearm': six(r[0]!),
  'y of the forearm': six(r[1]!),
  'z of the forearm': six(r[2]!),
}));

// %% [markdown]
// The sequence is Z-X-Y: **R = Rz(flexion) Rx(carrying) Ry(pronation)**, each turn about an axis already turned by
// those before it. Multiplied out, six of the nine entries give the three angles:

// %%
const angleSteps = worked.steps.filter(({ unit }) => unit === 'deg');
angleSteps.map(({ equation, numbers, value, source }) => ({
  equation,
  'with the numbers': `${numbers} = ${formatQuantity(value as number, 'deg', 4)}`,
  source,
}));

// %% [markdown]
// ## Against what was published
//
// The same steps for every row whose angles are published, and the difference. A difference in the last printed digit
// is rounding; anything more is another definition, another point or a mistake.

// %%
interface Published {
  readonly source: string;
  readonly angles: readonly IsbRow[];
}
const ANGLES = ['flexion_deg', 'carrying_deg', 'pronation_deg'] as const;
const hasPublished = existsSync(join(notebook.dataDir, 'published.json'));
const published: Published | null = hasPublished ? await readJson('published.json') : null;
const { series, warnings } = known(seriesOf(table, asked.markerNoise_mm));
const ours = series as readonly IsbRow[];
const pairs = (published?.angles ?? []).flatMap((theirs) =>
  ANGLES.map((angle) => {
    const mine = ours[theirs.row - 1]?.[angle] ?? null;
    const printed = theirs[angle];
    return {
      row: theirs.row,
      angle: angle.replace('_deg', ''),
      published: formatNumber(printed, 8),
      'worked out here': formatNumber(mine, 8),
      difference: mine === null || printed === null ? null : mine - printed,
    };
  }),
);
const furthest = pairs.reduce((most, { difference }) => Math.max(most, Math.abs(difference ?? 0)), 0);
notebook.show(
  published === null
    ? notebook.markdown('There is no `published.json` in the folder, so there is nothing to compare with.')
    : pairs,
);
if (published !== null)
  notebook.show(
    notebook.markdown(
      `Source: ${published.source}. The largest difference is **${furthest.toExponential(1)} deg**: ${
        furthest < 1e-6
          ? 'the published angle is reproduced to every digit that was printed.'
          : 'the published angle is **not** reproduced. Look first at the sequence, the side and which point is which.'
      }`,
    ),
  );
warnings.map((warning) => ({ 'to mind': warning }));

// %% [markdown]
// ## Definitions side by side
//
// "Elbow flexion" in a paper can also be the angle between two lines through three points, or that angle drawn on a
// video picture. The same capture under each, row by row:

// %%
const { rows, definitions } = known(compareElbows(table));
const spans = (values: readonly (number | null)[]) => {
  const there = values.filter((value) => value !== null);
  return `${formatNumber(Math.min(...there), 1)} to ${formatQuantity(Math.max(...there), 'deg')}`;
};
const near = rows.filter((r) => Math.abs(r.row - row) <= 45);
const drawn = [
  { name: 'ISB', y: near.map((r) => r.isb_flexion_deg) },
  { name: 'three points', y: near.map((r) => r.three_point_ulnar_deg) },
  { name: 'to mid wrist', y: near.map((r) => r.three_point_wrist_deg) },
  { name: 'flat picture', y: near.map((r) => r.seen_along_z_deg) },
];
curveFigure({
  id: 'definitions',
  title: 'One elbow under four definitions',
  caption:
    'Rows about the one worked through. Each curve comes from the same points: ISB flexion; three points with the forearm ending at the ulnar styloid, or at the middle of the wrist; and the first of these in a flat picture taken along z. Where curves part, a number without its definition means nothing.',
  description: drawn.map(({ name, y }) => `${name}: ${spans(y)}.`).join(' '),
  x: { label: 'row of the table', unit: '', values: near.map((r) => r.row) },
  y: { label: 'flexion', unit: 'deg' },
  curves: drawn,
  marks: [{ x: row, label: 'worked through above' }],
  table: {
    columns: [
      { key: 'row', label: 'row' },
      { key: 'isb_flexion_deg', label: 'ISB flexion', unit: 'deg' },
      { key: 'isb_carrying_deg', label: 'carrying angle', unit: 'deg' },
      { key: 'three_point_ulnar_deg', label: 'three points, ulnar styloid', unit: 'deg' },
      { key: 'three_point_wrist_deg', label: 'three points, mid wrist', unit: 'deg' },
      { key: 'seen_along_z_deg', label: 'flat picture along z', unit: 'deg' },
    ],
    rows: near.map((r) => ({ ...r })),
  },
});

// %% [markdown]
// How far each is from ISB flexion, and why. The reasons are worked out from these rows, not recited.

// %%
notebook.show(
  definitions.map(({ label, mean_deg, sd_deg, largest_deg, largestRow }) => ({
    definition: label,
    'mean difference (deg)': mean_deg,
    'SD (deg)': sd_deg,
    'largest (deg)': largest_deg,
    'in row': largestRow,
  })),
);
notebook.markdown(
  definitions.map(({ label, why }) => `**${label[0]?.toUpperCase()}${label.slice(1)}.** ${why}`).join('\n\n'),
);

// %% [markdown]
// The first of them can be checked with a pencil. The y axes of both frames *are* the two lines, so their cosine is the
// middle entry of R; multiplied out, that entry is cos(flexion) cos(carrying). So three points see
// **arccos(cos(flexion) cos(carrying))**, and never less than ISB flexion:

// %%
const rad = Math.PI / 180;
const here = rows[row - 1]!;
const byHand =
  Math.acos(Math.cos((here.isb_flexion_deg ?? 0) * rad) * Math.cos((here.isb_carrying_deg ?? 0) * rad)) / rad;
[
  { 'three-point angle': 'by hand, from flexion and carrying angle', degrees: byHand },
  { 'three-point angle': 'by the definition, from three points', degrees: here.three_point_ulnar_deg },
];

// %% [markdown]
// ## What the noise of the markers does
//
// Every coordinate of every marker is off by a little. To the first order the variance of an angle is the sum, over
// markers and axes, of (d angle / d coordinate)² times the variance of the coordinate (Guide to the expression of
// uncertainty in measurement, 2008, 5.1.2). It says which marker is worth placing better. The SD used here stands in
// `points.json`; unless your laboratory has measured it, it is an assumption, and everything below scales with it.

// %%
const budget = known(budgetOf(table, row, asked.markerNoise_mm));
/** What is left of a zero after rounding is a zero. */
const tidy = (value: number) => Number(value.toFixed(6));
const markerShare = (entries: (typeof budget)['angles'][number]['entries'], marker: string) =>
  entries.filter((entry) => entry.marker === marker).reduce((sum, { share }) => sum + share, 0);
notebook.show(
  notebook.markdown(
    `Row ${row}, ${asked.markerNoise_mm} mm in each coordinate: ${budget.angles
      .map(
        ({ angle, value_deg, sd_deg }) =>
          `${angle.replace('_deg', '')} **${formatQuantity(value_deg, 'deg', decimalsFor(sd_deg))}** (SD ${formatQuantity(sd_deg, 'deg', 2)})`,
      )
      .join(', ')}. Whose fault that is, in per cent of each variance:`,
  ),
);
notebook.show(
  table.names.map((marker) => ({
    marker,
    ...Object.fromEntries(
      budget.angles.map(({ angle, entries }) => [
        `${angle.replace('_deg', '')} (%)`,
        tidy(100 * markerShare(entries, marker)),
      ]),
    ),
  })),
);
notebook.show(notebook.markdown('How far each angle moves when one coordinate moves by one millimetre:'));
budget.angles[0]!.entries.map(({ marker, axis }, k) => ({
  marker,
  axis,
  ...Object.fromEntries(
    budget.angles.map(({ angle, entries }) => [
      `${angle.replace('_deg', '')} (deg per mm)`,
      tidy(entries[k]!.slope_deg_per_mm),
    ]),
  ),
}));

// %% [markdown]
// The same for every row, with each angle's SD over the course of the movement. Within 20 degrees of straight, upper
// arm and forearm hardly fix the plane in which the elbow bends: whatever rests on that plane is left to noise.

// %% The figure of it tags=["hide-input"]
const withSd = ours.filter((r) => r.flexion_deg !== null);
const sds = (angle: (typeof ANGLES)[number]) => withSd.map((r) => r[`${angle}_sd`] ?? null);
const straight = withSd.filter((r) => Math.abs(r.flexion_deg ?? 0) < 20).length;
notebook.show(
  curveFigure({
    id: 'noise',
    title: `What ${asked.markerNoise_mm} mm of marker noise does to each angle`,
    caption: 'First-order SD, row by row: how far off an angle is because its markers are.',
    description: ANGLES.map((angle) => `SD of ${angle.replace('_deg', '')}: ${spans(sds(angle))}.`).join(' '),
    x: { label: 'row of the table', unit: '', values: withSd.map((r) => r.row) },
    y: { label: 'SD', unit: 'deg' },
    curves: ANGLES.map((angle) => ({ name: angle.replace('_deg', ''), y: sds(angle) })),
    table: {
      columns: [
        { key: 'row', label: 'row' },
        ...ANGLES.flatMap((angle) => [
          { key: angle, label: angle.replace('_deg', ''), unit: 'deg' },
          { key: `${angle}_sd`, label: `SD of ${angle.replace('_deg', '')}`, unit: 'deg' },
        ]),
      ],
      rows: withSd.map((r) => ({ ...r })),
    },
  }),
);
const usual = ANGLES.map((angle) => ({
  angle: angle.replace('_deg', ''),
  sd: median(sds(angle).map((v) => v ?? 0)),
})).sort((a, b) => a.sd - b.sd);
notebook.markdown(
  `In the middle row, ${usual.map(({ angle, sd }) => `${angle} has an SD of ${formatQuantity(sd, 'deg', 2)}`).join(', ')}. ` +
    `${straight} of ${withSd.length} rows are within 20 deg of straight.`,
);

// %% [markdown]
// ## The Finding
//
// The same question put to the study, which the command `angle --published` asks too: every published angle against the
// one worked out, the largest difference against a tolerance, and flexion against each rival definition, so that it says
// which of them was published.

// %%
const readAs = hasPublished
  ? readPublished(
      'published.json',
      await readFile(join(notebook.dataDir, 'published.json')),
      angleNames(table.definition),
    )
  : null;
if (readAs?.ok === false) {
  notebook.show(readAs.problems);
  throw new Error('published.json has the faults listed above; mend them and run the notebook again.');
}
const reproduced = angleFinding({
  table,
  row,
  ...(readAs === null ? {} : { published: readAs.published }),
});
if (!reproduced.ok) {
  notebook.show(reproduced.problems);
  throw new Error('the points cannot be put to this question; the table says why.');
}
reproduced.finding;

// %% [markdown]
// ## The answer, and what would change it

// %%
const [three] = definitions;
const usualSd = median(withSd.map((r) => r.flexion_deg_sd ?? 0));
const differences = rows
  .filter((r) => r.isb_flexion_deg !== null)
  .map((r) => (r.three_point_ulnar_deg ?? 0) - (r.isb_flexion_deg ?? 0));
notebook.markdown(
  `**${
    published === null
      ? 'Nothing was published to reproduce; the angle and its steps stand above.'
      : furthest < 1e-6
        ? `Yes: to within ${furthest.toExponential(1)} deg, every digit that was printed.`
        : `No: the angles differ by up to ${formatQuantity(furthest, 'deg', 3)}.`
  }** In row ${row} the ISB elbow is flexed by ${formatQuantity(budget.angles[0]!.value_deg, 'deg', 1)}. ` +
    `Over these ${withSd.length} rows the SD from ${asked.markerNoise_mm} mm of marker noise is ${formatQuantity(usualSd, 'deg', 2)} in the middle row, ` +
    `while the three-point definition says ${formatQuantity(mean(differences), 'deg', 1)} more on average ` +
    `(SD ${formatQuantity(sampleStandardDeviation(differences), 'deg', 1)}, up to ${formatQuantity(three?.largest_deg ?? null, 'deg', 1)}). ` +
    `**The choice of definition matters ${formatNumber((three?.largest_deg ?? 0) / usualSd, 0)} times as much as the noise does, where it matters most.**\n\n` +
    'What would change it:\n\n' +
    [
      'Another sequence, another side, or a shoulder centre in place of the acromion: another number, with nothing wrong in the arithmetic.',
      `More noise: every SD above grows in proportion. Skin that slides over the bone is not in it; that is an error of the points, not of the markers.`,
      'Rows near straight: there, quote the definition or quote nothing.',
      'To cite the definition: Wu et al. (2005) J Biomech 38:981-992; Grood and Suntay (1983) J Biomech Eng 105:136-144. To cite the code: CITATION.cff, with the version and the SHA-256 at the foot of this page.',
    ]
      .map((item) => `- ${item}`)
      .join('\n'),
);
