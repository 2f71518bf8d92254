// %% [markdown]
// # From a capture to numbers that can be trusted
//
// **The question.** A capture file holds thousands of marker positions, some of them missing, all of them off by a
// little. Which numbers of the swing come out of it, how sure is each, and is that sureness deserved?
//
// **The data.** A folder with one capture, or with one capture in each of its subfolders: a `.c3d` file, a
// `layout.json` that says which channel is which landmark, and, where the swing was simulated, a `truth.json`.
// `synthetic/swing` holds a simulated swing: nobody was captured, and its angles are those of closed formulas, seen
// through 1 mm of noise. Put a capture of your own beside it, in a subfolder of your folder, and give that with
// `--data`.
//
// **The plan.** For each capture: look at what the file holds; measure it; read what was done to the data before
// anything was computed; find the instants; list every number with its standard deviation; draw the elbow and the lag
// through the downswing. Where the truth is known, see how far off each number is, in units of the SD that was stated.

// %% Tools and captures
import { existsSync } from 'node:fs';
import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import {
  type CaptureResult,
  checkLayout,
  type InstantName,
  inspectCapture,
  lagAngle,
  type Measurement,
  measureCapture,
  metricByColumn,
  nameChannels,
  readCapture,
  type Track,
  threePointFlexion,
  type Vector,
} from 'proving-range/kinematics';
import { notebook } from 'proving-range/notebook';
import { curveFigure, decimalsFor, formatNumber, formatQuantity } from 'proving-range/report';

interface Truth {
  readonly instants: Readonly<Record<string, number>>;
  readonly metrics: Readonly<Record<string, number>>;
}
interface Swing {
  readonly name: string;
  readonly file: string;
  readonly bytes: Uint8Array;
  readonly layout: unknown;
  /** Null for a swing that was recorded. */
  readonly truth: Truth | null;
}
const readJson = async (path: string) => JSON.parse(await readFile(path, 'utf8'));

/** The swing in a folder, or null where it holds no capture with a layout. */
async function swingIn(folder: string): Promise<Swing | null> {
  const file = (await readdir(folder)).sort().find((name) => name.toLowerCase().endsWith('.c3d'));
  if (file === undefined || !existsSync(join(folder, 'layout.json'))) return null;
  const hasTruth = existsSync(join(folder, 'truth.json'));
  return {
    name: hasTruth ? 'simulated' : 'recorded',
    file,
    bytes: new Uint8Array(await readFile(join(folder, file))),
    layout: await readJson(join(folder, 'layout.json')),
    truth: hasTruth ? await readJson(join(folder, 'truth.json')) : null,
  };
}
const entries = await readdir(notebook.dataDir, { withFileTypes: true });
const folders = entries.filter((entry) => entry.isDirectory()).map((entry) => entry.name);
const found = await Promise.all(
  ['.', ...folders.sort()].map((name) => swingIn(join(notebook.dataDir, name))),
);
const all = found.filter((swing) => swing !== null);
/** Swings of one kind are told apart by their files. */
const swings = all.map((swing) => {
  const alone = all.filter(({ name }) => name === swing.name).length === 1;
  return alone ? swing : { ...swing, name: `${swing.name} (${swing.file})` };
});
if (swings.length === 0)
  throw new Error('no capture in this folder: it needs a .c3d file and a layout.json beside it.');
const recorded = swings.filter(({ truth }) => truth === null);
const simulated = swings.filter(({ truth }) => truth !== null);
notebook.show(
  notebook.markdown(
    recorded.length === 0
      ? '**No recorded swing in this folder**, only simulated ones: what is said below of recorded swings was skipped. To see the same steps on a real one, put its `.c3d` and `layout.json` into a subfolder.'
      : simulated.length === 0
        ? '**No simulated swing in this folder**, so the comparison with a known truth was skipped.'
        : `${recorded.length} recorded, ${simulated.length} simulated.`,
  ),
);
swings.map(({ name, file, bytes, truth }) => ({
  swing: name,
  file,
  bytes: bytes.length,
  'truth known': truth === null ? 'no' : 'yes',
}));

// %% [markdown]
// ## What the file holds
//
// Before any layout: encoding, rate, channels, unit. A file that contradicts itself is read as far as that is safe, and
// every contradiction is said.

// %%
/** The value of a result; its problems are shown, and stop the notebook. */
function known<T>(result: CaptureResult<T>): T {
  if (result.ok) return result.value;
  notebook.show(result.problems);
  throw new Error(
    'a capture or its layout has the faults listed above; mend them and run the notebook again.',
  );
}
const inspected = swings.map(({ name, bytes }) => ({ name, ...known(inspectCapture({ bytes })) }));
notebook.show(
  inspected.map(({ name, format, encoding, byteOrder, rateHz, frames, labels, unit }) => ({
    swing: name,
    file: `${format}, ${encoding}, ${byteOrder} byte order`,
    'rate (Hz)': rateHz,
    frames,
    channels: labels.length,
    'unit it states': unit ?? 'none',
  })),
);
const faults = inspected.flatMap(({ name, warnings }) =>
  warnings.map((warning) => ({ swing: name, 'found in the file': warning })),
);
faults.length > 0 ? faults : 'No file contradicts itself.';

// %% [markdown]
// ## What was done to the data
//
// Gaps are filled only where they are short; positions are filtered up to impact and after it, never across it, so
// that contact does not smear into lean and speed. All of it is on record. A segment that should be rigid and is not
// says that a marker moved or the file was smoothed before it was exported: what is read from it gets a larger SD.

// %%
const measured = swings.map((swing) => {
  const measurement = known(measureCapture({ c3dBytes: swing.bytes, layout: swing.layout }));
  return { ...swing, measurement };
});
const spread = (values: readonly number[]) => {
  const ends = [Math.min(...values), Math.max(...values)].map((value) => formatQuantity(value, 'mm', 2));
  return [...new Set(ends)].join(' to ');
};
for (const { name, measurement } of measured) {
  const { processing, warnings } = measurement;
  const { filter, derivatives, noise_mm } = processing;
  const cutoffs = Object.entries(filter.landmarks).map(([landmark, of]) => ({
    landmark,
    Hz: of?.cutoffHz ?? null,
  }));
  const cutoffWords = [...new Set(cutoffs.map(({ Hz }) => Hz))].map((Hz) => {
    const of = cutoffs.filter((entry) => entry.Hz === Hz).map(({ landmark }) => landmark);
    return `${Hz === null ? 'unfiltered (the capture is too coarse)' : `${formatNumber(Hz, 0)} Hz`}: ${of.join(', ')}`;
  });
  notebook.show(
    notebook.markdown(
      `**${name}**\n\n${formatNumber(processing.rateHz, 1)} frames a second; ball: ${processing.ball}; noise of a marker, ` +
        `${processing.noise}: ${spread(Object.values(noise_mm))} in each coordinate.\n\n` +
        `- Filter: ${filter.method}\n- Cut-offs (${filter.cutoff}): ${cutoffWords.join('; ')}.\n- Derivatives: ${derivatives.inWords}`,
    ),
  );
  const done = [
    ...processing.gaps.map(({ landmark, from, to, filledBy }) => ({
      frames: `${from} to ${to}`,
      found: `${landmark} not seen`,
      done: filledBy === null ? 'left missing' : `filled by ${filledBy}`,
    })),
    ...processing.repairs.map(({ found: what, landmarks, from, to, done: how, because }) => ({
      frames: `${from} to ${to}`,
      found: `${what}: ${landmarks.join(', ')}`,
      done: `${how} (${because})`,
    })),
  ];
  notebook.show(done.length === 0 ? 'No marker was missing, exchanged or jumping.' : done);
  if (warnings.length > 0) notebook.show(warnings.map((warning) => ({ 'to mind': warning })));
}
notebook.show(notebook.markdown('Segments that should keep their length, between takeaway and impact:'));
measured.flatMap(({ name, measurement }) =>
  measurement.processing.segments.map(({ from, to, length_mm, largestChange_mm }) => ({
    swing: name,
    segment: `${from} to ${to}`,
    'length (mm)': length_mm,
    'largest change (mm)': largestChange_mm,
  })),
);

// %% [markdown]
// ## The instants
//
// A number is read *at* an instant, so the instant's uncertainty flows into the number. Impact is time zero, between
// frames; nothing is known better than half a frame unless the markers say so.

// %%
const ms = (seconds: number) => formatNumber(1000 * seconds, 1);
const instantNames = (measurement: Measurement) =>
  (Object.keys(measurement.instantDetails) as InstantName[]).sort(
    (a, b) => measurement.instants[a]! - measurement.instants[b]!,
  );
measured.flatMap(({ name, measurement, truth }) =>
  instantNames(measurement).map((instant) => {
    const { time_s, frame, sd_s, uncertainty_s } = measurement.instantDetails[instant]!;
    const planted = truth?.instants[instant];
    return {
      swing: name,
      instant,
      'from impact (ms)': ms(time_s),
      frame: formatNumber(frame, 2),
      'SD (ms)': ms(sd_s),
      'known within (ms)': ms(uncertainty_s),
      'planted (ms)': planted === undefined ? null : ms(planted),
    };
  }),
);

// %% [markdown]
// The same instants by the definitions that were not chosen. Where they lie far apart, a number read at that instant
// says little until the definition stands beside it.

// %%
const others = measured.flatMap(({ name, measurement }) =>
  (Object.keys(measurement.alternativeInstants) as InstantName[]).flatMap((instant) =>
    Object.entries(measurement.alternativeInstants[instant] ?? {}).map(([definition, { time_s }]) => ({
      swing: name,
      instant,
      'by another definition': definition,
      'from impact (ms)': ms(time_s),
      'later than the chosen one by (ms)': ms(time_s - (measurement.instants[instant] ?? Number.NaN)),
    })),
  ),
);
others.length > 0 ? others : 'No other definition gives an instant here.';

// %% [markdown]
// ## The numbers
//
// Every number that the capture gives, with the standard deviation that marker noise and instants leave in it. What a
// name means, with sign and equation, stands in the catalogue of metrics. A number that could not be measured is left
// empty, with its reason among the warnings above.

// %%
const isMetric = (column: string) => !column.endsWith('_sd');
const columns = Object.keys(measured[0]!.measurement.swing).filter(isMetric);
const cell = ({ swing }: Measurement, column: string) => {
  const [value, sd] = [swing[column] ?? null, swing[`${column}_sd`] ?? null];
  if (value === null) return null;
  const decimals = sd === null ? metricByColumn(column).decimals : decimalsFor(sd);
  return `${formatNumber(value, decimals)}${sd === null ? '' : ` ± ${formatNumber(sd, decimals)}`}`;
};
columns
  .filter((column) => measured.some(({ measurement }) => (measurement.swing[column] ?? null) !== null))
  .map((column) => {
    const { label, unit } = metricByColumn(column);
    return {
      number: label,
      unit,
      ...Object.fromEntries(measured.map(({ name, measurement }) => [name, cell(measurement, column)])),
    };
  });

// %% [markdown]
// ## Elbow and lag through the downswing
//
// Trail elbow flexion (0 = straight) and lag angle (0 = shaft in line with the lead forearm), frame by frame from the
// markers as captured, before any filter: what the curves wobble by is the noise. Whether the elbow straightens before
// the lag is lost is the coach's claim; this is where it can be seen in one swing.

// %% The figures tags=["hide-input"]
const pointAt = ({ x, y, z }: Track, i: number): Vector => [x[i]!, y[i]!, z[i]!];
const finite = (value: number) => (Number.isFinite(value) ? value : null);
const whole = (value: number | null | undefined) => formatQuantity(value ?? null, 'deg', 0);
for (const { name, bytes, layout, measurement } of measured) {
  const { capture } = known(readCapture(bytes));
  const { trial } = known(nameChannels(capture, known(checkLayout(layout))));
  const names = [
    'trail_shoulder',
    'trail_elbow',
    'trail_wrist',
    'lead_elbow',
    'lead_wrist',
    'grip',
    'club_head',
  ];
  const tracks = names.map((landmark) => trial.tracks.get(landmark));
  const { impact, top } = measurement.instantDetails;
  if (impact === undefined || top === undefined || tracks.some((track) => track === undefined)) {
    notebook.show(`${name}: not drawn, because top, impact or a landmark is missing.`);
    continue;
  }
  const at = (i: number) => tracks.map((track) => pointAt(track!, i)) as [Vector, ...Vector[]];
  const timeOf = (i: number) => (1000 * (i + capture.firstFrame - impact.frame)) / trial.rateHz;
  const frames = Array.from({ length: trial.frames }, (_, i) => i).filter(
    (i) => timeOf(i) >= 1000 * top.time_s - 60 && timeOf(i) <= 60,
  );
  const flexion = frames.map((i) => {
    const [shoulder, elbow, wrist] = at(i);
    return finite(threePointFlexion(shoulder, elbow!, wrist!));
  });
  const lag = frames.map((i) => {
    const [, , , elbow, wrist, grip, head] = at(i);
    return finite(lagAngle(elbow!, wrist!, grip!, head!));
  });
  const readings = measurement.perInstant;
  notebook.show(
    curveFigure({
      id: 'downswing',
      title: `Trail elbow and lag, ${name}`,
      caption: 'From just before the top to just after impact. The lines across are the instants.',
      description: `At the top the elbow is bent by ${whole(readings.top?.trail_elbow_flexion_deg)} and the lag angle is ${whole(readings.top?.lag_deg)}; at impact they are ${whole(readings.impact?.trail_elbow_flexion_deg)} and ${whole(readings.impact?.lag_deg)}.`,
      x: { label: 'time from impact', unit: 'ms', values: frames.map(timeOf) },
      y: { label: 'angle', unit: 'deg' },
      curves: [
        { name: 'trail elbow flexion', y: flexion },
        { name: 'lag angle', y: lag },
      ],
      marks: (['top', 'lead arm parallel', 'delivery', 'impact'] as const)
        .filter((instant) => measurement.instants[instant] !== undefined)
        .map((instant) => ({ x: 1000 * measurement.instants[instant]!, label: instant })),
      table: {
        columns: [
          { key: 'time', label: 'time from impact', unit: 'ms' },
          { key: 'flexion', label: 'trail elbow flexion', unit: 'deg' },
          { key: 'lag', label: 'lag angle', unit: 'deg' },
        ],
        rows: frames.map((i, k) => ({ time: timeOf(i), flexion: flexion[k]!, lag: lag[k]! })),
      },
    }),
  );
}

// %% [markdown]
// ## Is the stated SD deserved?
//
// Of a simulated swing the truth is known. The difference from it, divided by the stated SD, should look like a draw
// from a normal curve: within 2 about nineteen times in twenty. One swing shows only whether anything is badly wrong;
// the tests of this project do the same over 200 swings and count how often the truth lies within 1.96 SD.

// %%
const recovery = measured.flatMap(({ name, measurement, truth }) =>
  Object.entries(truth?.metrics ?? {}).flatMap(([column, planted]) => {
    const [value, sd] = [measurement.swing[column] ?? null, measurement.swing[`${column}_sd`] ?? null];
    if (value === null || sd === null) return [];
    const { label, unit } = metricByColumn(column);
    const decimals = decimalsFor(sd);
    return [
      {
        swing: name,
        number: `${label} (${unit})`,
        planted: formatNumber(planted, decimals),
        measured: formatNumber(value, decimals),
        SD: formatNumber(sd, decimals),
        'difference / SD': (value - planted) / sd,
      },
    ];
  }),
);
recovery.length > 0 ? recovery : 'No truth is known in this folder, so there is nothing to recover.';

// %% [markdown]
// ## The answer, and what would change it

// %%
const within = recovery.filter((r) => Math.abs(r['difference / SD']) <= 2).length;
const worst = [...recovery].sort(
  (a, b) => Math.abs(b['difference / SD']) - Math.abs(a['difference / SD']),
)[0];
const plain = (column: string, { swing }: Measurement) => {
  const { unit, label } = metricByColumn(column);
  const sd = swing[`${column}_sd`] ?? null;
  return `${label} ${formatQuantity(swing[column] ?? null, unit, decimalsFor(sd))} (SD ${formatQuantity(sd, unit, decimalsFor(sd))})`;
};
const fastest = Math.max(...measured.map(({ measurement }) => measurement.swing.club_speed_mps ?? 0));
const leastSure = measured.map(({ name, measurement }) => {
  const shaky = Object.keys(measurement.swing)
    .filter(isMetric)
    .filter((column) => {
      const [value, sd] = [measurement.swing[column] ?? null, measurement.swing[`${column}_sd`] ?? null];
      return value !== null && sd !== null && sd > Math.abs(value) / 2;
    });
  return shaky.length === 0
    ? `${name}: no number has an SD above half its size.`
    : `${name}: an SD above half their size have ${shaky.map((column) => metricByColumn(column).label).join(', ')}.`;
});
notebook.markdown(
  `${measured
    .map(
      ({ name, measurement }) =>
        `**${name}:** ${['trail_elbow_flexion_top_deg', 'release_onset_ms', 'shaft_lean_impact_deg'].map((column) => plain(column, measurement)).join('; ')}.`,
    )
    .join('\n\n')}\n\n${
    worst === undefined
      ? 'Whether the stated SDs are deserved was not asked here: no truth is known.'
      : `Of ${recovery.length} planted numbers ${within} were recovered within 2 SD; furthest off is ${worst.number}, by ${formatNumber(Math.abs(worst['difference / SD']), 1)} SD. ${
          within >= 0.85 * recovery.length
            ? 'Numbers of one swing share their markers and instants, so they are off together; this is what deserved SDs look like.'
            : 'That is too few: do not rely on these SDs before you know why.'
        }`
  }\n\nWhat would change it:\n\n${[
    ...leastSure,
    'Markers on skin are not the joints: an angle repeats well and can still be off by degrees, the same way each time.',
    'Another definition of an instant (top by the arm or the pelvis, say) moves every number that is read there.',
    `A lower frame rate: a head at ${formatQuantity(fastest, 'm/s')} moves ${formatQuantity(fastest, 'cm', 0)} between two frames at 100 a second.`,
  ]
    .map((item) => `- ${item}`)
    .join('\n')}`,
);
