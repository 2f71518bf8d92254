import type { InputFile } from '../../dataset/index.ts';
import {
  type AngleStep,
  budgetOf,
  compareElbows,
  type ElbowComparison,
  type PointTable,
  seriesOf,
  stepsOf,
} from '../../kinematics/index.ts';
import type { AngleDefinitionRow, AngleStepRow, AngleTables } from '../angle-tables.ts';
import type { Finding, FindingEstimate, Sensitivity, SmallestChange } from '../finding.ts';
import { PACKAGE } from '../package-version.ts';
import { groupLeftOut } from '../shared/left-out.ts';
import { count } from '../shared/words.ts';
import type { StudyOutcome, StudyProblem } from '../study.ts';
import { angleSentence, angleStanding, angleVerdict, degrees } from './answer-words.ts';
import { type DifferenceSummary, differencesOf, summarise, turnBetween } from './differences.ts';
import type { PublishedAngles } from './published.ts';

export interface AngleFindingInput {
  readonly table: PointTable;
  /** What was published, where there is something to reproduce. */
  readonly published?: PublishedAngles;
  /** The files behind both, for the provenance. */
  readonly inputs?: readonly InputFile[];
  /** SD of each coordinate of each marker. Given, published numbers are taken to come from other markers so noisy. */
  readonly noise_mm?: number;
  /** The row worked through; default the first published one, else the first that gives an angle. */
  readonly row?: number;
  /** Differences up to this are none that matter, deg. */
  readonly tolerance_deg?: number;
}

/** Differences that no report of a joint angle would show: common practice, no source. */
export const DEFAULT_TOLERANCE_DEG = 0.1;
/** Noise of a marker's coordinate for the error budget where none is given, mm: what optical systems usually state. */
const ASSUMED_NOISE_MM = 1;

const DEFINITION_WORDS = {
  'three-point-elbow': {
    label: 'the three-point elbow angle',
    meaning: 'How far the elbow is bent: 180 degrees minus the angle between upper arm and forearm.',
    names: ['angle_deg'],
    version: '1.0',
  },
  'isb-elbow': {
    label: 'the ISB elbow angle',
    meaning:
      'Turn of the forearm in the frame of the upper arm, taken apart in the sequence Z-X-Y: flexion, carrying angle, pronation (Wu et al. 2005).',
    names: ['flexion_deg', 'carrying_deg', 'pronation_deg'],
    version: '1.0',
  },
} as const;

/** The angles that a definition gives, by the names under which they are published. */
export function angleNames(definition: PointTable['definition']): readonly string[] {
  return DEFINITION_WORDS[definition].names;
}

/**
 * Can I reproduce this published angle? Works every row of the points through the definition, sets the published angles
 * beside it, and compares the largest difference (with what marker noise could make of it) with a tolerance. Every step of
 * one row, its error budget, and the other definitions are in the finding, so that it says which of them was published.
 *
 * It stands beside the studies of a dataset: its input is a table of points, and its finding is like any other.
 *
 * @example
 * const outcome = angleFinding({ table, published, noise_mm: 1 });
 * if (outcome.ok) console.log(outcome.finding.answer); // Yes: the ISB elbow angle from these points is the published one ...
 */
export function angleFinding(input: AngleFindingInput): StudyOutcome<AngleTables> {
  const { table, published, noise_mm, tolerance_deg } = input;
  const wrong = toleranceProblems(tolerance_deg);
  const series = seriesOf(table, noise_mm);
  if (!series.ok) return { ok: false, problems: [...wrong, ...series.problems] };
  const compared =
    published === undefined ? { differences: [], without: [] } : differencesOf(series.value, published);
  const { differences, without } = compared;
  const row =
    input.row ??
    differences[0]?.row ??
    series.value.series.find((entry) => entry.reason === undefined)?.row ??
    1;
  const steps = stepsOf(table, row);
  if (!steps.ok) return { ok: false, problems: [...wrong, ...steps.problems] };
  if (wrong.length > 0) return { ok: false, problems: wrong };
  const budget = budgetOf(table, row, noise_mm ?? ASSUMED_NOISE_MM);
  const comparison = table.definition === 'isb-elbow' ? compareElbows(table) : null;
  const others = comparison?.ok ? comparison.value : null;
  const { label, meaning, names, version } = DEFINITION_WORDS[table.definition];
  const tolerance = tolerance_deg ?? DEFAULT_TOLERANCE_DEG;
  const summary = differences.length === 0 ? null : summarise(differences);
  const everyDigit = differences.length > 0 && differences.every((one) => one.everyDigit);
  const standing = angleStanding(summary, published !== undefined, everyDigit, tolerance);
  const smallest: SmallestChange = {
    value: tolerance,
    unit: 'deg',
    from: tolerance_deg === undefined ? 'default' : 'asked',
    why:
      tolerance_deg === undefined
        ? 'Differences up to a tenth of a degree are taken as none: reports of joint angles do not show less, and marker noise is larger (common practice, no source). Give another with --tolerance-deg.'
        : 'Given with the question.',
    goodDirection: 0,
  };
  const sensitivity = underOtherDefinitions(others, published, tolerance);
  const fits = sensitivity.find(({ verdict }) => verdict === 'too-small-to-matter')?.name ?? null;
  const worked = angleOf(series.value.series[row - 1] as unknown as Readonly<Record<string, unknown>>, names);
  const rows = new Set(differences.map((one) => one.row)).size;
  const usable = series.value.series.filter((entry) => entry.reason === undefined).length;
  const finding: Finding<AngleTables> = {
    study: 'angle',
    question: 'Can I reproduce this published angle?',
    answer: angleSentence({
      standing,
      label,
      summary,
      tolerance,
      rows,
      noise_mm: noise_mm ?? null,
      worked: `${worked} in row ${row}`,
      other: fits,
    }),
    verdict: angleVerdict(standing),
    estimates: [
      ...differenceEstimates(summary, differences, names),
      ...(budget.ok
        ? budget.value.angles.map(
            ({ angle, value_deg, sd_deg }): FindingEstimate => ({
              key: `angle-${angle.replace('_deg', '')}`,
              name: `${angle.replace('_deg', '')} in row ${row}`,
              value: value_deg,
              interval: [value_deg - 1.959964 * sd_deg, value_deg + 1.959964 * sd_deg],
              level: 0.95,
              unit: 'deg',
              degreesOfFreedom: null,
              unsigned: true,
              meaning: `Worked out from the points; the interval is what ${noise_mm ?? ASSUMED_NOISE_MM} mm of noise in every coordinate (${noise_mm === undefined ? 'assumed' : 'given'}) leaves of it.`,
            }),
          )
        : []),
    ],
    smallestChange: published === undefined ? null : smallest,
    metric: { column: names[0], label, unit: 'deg', meaning },
    design: {
      kind: table.definition,
      words: `${count(table.rows.length, 'row')} of points, ${usable} of which give an angle${published === undefined ? '' : `; ${count(differences.length, 'published angle')} in ${count(rows, 'row')} set against it`}.`,
      golfers: 0,
      sessions: 0,
      swings: usable,
      arms: [],
    },
    leftOut: [
      ...groupLeftOut('published angles', without),
      ...groupLeftOut(
        'rows',
        series.value.series.flatMap(({ row: at, reason }) =>
          reason === undefined ? [] : [{ id: `row ${at}`, why: reason }],
        ),
      ),
    ],
    model: {
      words: `${meaning} Every step stands in a table, with its equation and source. Marker noise is carried through to the first order (Guide to the expression of uncertainty in measurement, 2008, 5.1.2).`,
      objects: [{ definition: table.definition, side: table.side, points: table.namesOf }],
    },
    checks: [
      ...series.value.warnings.map((words) => ({ name: 'the points', outcome: 'look' as const, words })),
      ...(budget.ok
        ? budget.value.angles
            .filter(({ firstOrderHolds }) => !firstOrderHolds)
            .map(({ angle, bias_deg }) => ({
              name: `first order of ${angle.replace('_deg', '')}`,
              outcome: 'look' as const,
              words: `Noise of this size also shifts it by about ${degrees(bias_deg)}: the angle bends sharply where it stands, and its interval is rough.`,
            }))
        : [
            {
              name: 'error budget',
              outcome: 'not-possible' as const,
              words: budget.problems.map(({ remedy }) => remedy).join(' '),
            },
          ]),
    ],
    sensitivity,
    cautions: [
      'A reproduced angle is the same arithmetic on the same points. Whether the points show the bones is another question: skin slides over them.',
      'A number without its definition means nothing: quote points, frames, sequence and sign with it.',
    ],
    planned: { planned: false, words: 'An angle is worked out, not tested: there was nothing to plan.' },
    provenance: {
      package: PACKAGE.name,
      version: PACKAGE.version,
      inputs: [...(input.inputs ?? [])].sort((a, b) => (a.file < b.file ? -1 : 1)),
      definitions: [{ metric: table.definition, version }],
      seed: null,
      date: '',
      command: commandOf(input),
    },
    tables: {
      definition: table.definition,
      row,
      differences,
      steps: steps.value.steps.map(stepRow),
      sources: steps.value.sources,
      budget: budget.ok
        ? {
            noise_mm: budget.value.noise_mm,
            assumed: noise_mm === undefined,
            entries: budget.value.angles.flatMap(({ angle, entries }) =>
              entries.map(({ marker, axis, slope_deg_per_mm, sd_deg, share }) => ({
                angle: angle.replace('_deg', ''),
                marker,
                axis,
                degreesPerMm: tidy(slope_deg_per_mm),
                sd: tidy(sd_deg),
                share: tidy(share),
              })),
            ),
          }
        : null,
      definitions: others?.definitions.map(definitionRow) ?? [],
      series: others?.rows.map((entry) => ({ ...entry })) ?? seriesColumns(series.value.series, names),
    },
    warnings: [],
    next: nextFor(standing, fits),
  };
  return { ok: true, finding };
}

/** What is left of a zero after rounding is a zero. */
function tidy(value: number): number {
  return Math.abs(value) < 1e-12 ? 0 : value;
}

function toleranceProblems(tolerance: number | undefined): StudyProblem[] {
  if (tolerance === undefined || (Number.isFinite(tolerance) && tolerance > 0)) return [];
  return [
    {
      where: 'the tolerance',
      found: String(tolerance),
      expected: 'a number of degrees above 0',
      remedy: 'Give the largest difference that would not matter.',
    },
  ];
}

function differenceEstimates(
  summary: DifferenceSummary | null,
  differences: AngleTables['differences'],
  names: readonly string[],
): FindingEstimate[] {
  if (summary === null) return [];
  const base = { level: 0.95, unit: 'deg', degreesOfFreedom: null } as const;
  return [
    {
      ...base,
      key: 'largest-difference',
      name: 'largest difference, worked out against published',
      value: Math.abs(summary.largest.difference),
      interval: summary.largestInterval,
      unsigned: true,
      meaning: `In row ${summary.largest.row}, ${summary.largest.angle.replace('_deg', '')}. Same points and same arithmetic leave nothing to chance, so without marker noise the interval is the number itself.`,
    },
    ...names.flatMap((angle): FindingEstimate[] => {
      const own = differences.filter((one) => one.angle === angle);
      if (own.length === 0) return [];
      const { rootMeanSquare, mean, meanInterval, rows } = summarise(own);
      const name = angle.replace('_deg', '');
      return [
        {
          ...base,
          key: `root-mean-square-${name}`,
          name: `root mean square difference of ${name}`,
          value: rootMeanSquare,
          interval: [null, null],
          unsigned: true,
          meaning: `Over ${count(rows, 'row')}: the usual size of a difference.`,
        },
        {
          ...base,
          key: `mean-difference-${name}`,
          name: `mean difference of ${name}, worked out minus published`,
          value: mean,
          interval: meanInterval ?? [null, null],
          degreesOfFreedom: meanInterval === null ? null : rows - 1,
          meaning:
            'A difference that is always there: another point, frame or sign. The interval takes rows as independent, which rows of one movement are not.',
        },
      ];
    }),
  ];
}

/** Published flexion against each other definition of the same points: it says which one was published. */
function underOtherDefinitions(
  others: ElbowComparison | null,
  published: PublishedAngles | undefined,
  tolerance: number,
): Sensitivity[] {
  const flexion = published?.values.filter(({ angle }) => angle === 'flexion_deg') ?? [];
  if (others === null || flexion.length === 0) return [];
  return others.definitions.flatMap(({ column, label, equation }) => {
    const differences = flexion.flatMap(({ row, value }) => {
      const worked = others.rows[row - 1]?.[column] ?? null;
      return worked === null ? [] : [turnBetween(worked, value)];
    });
    if (differences.length === 0) return [];
    const largest = Math.max(...differences.map(Math.abs));
    const fits = largest <= tolerance;
    return [
      {
        name: label,
        what: `Published flexion against ${equation}.`,
        estimate: {
          name: label,
          value: largest,
          interval: [largest, largest] as const,
          level: 0.95,
          unit: 'deg',
          degreesOfFreedom: null,
          unsigned: true as const,
          meaning: 'The largest difference over the published rows.',
        },
        verdict: fits ? ('too-small-to-matter' as const) : ('meaningful' as const),
        words: fits
          ? 'This definition gives the published numbers.'
          : `This definition does not give the published numbers: the largest difference is ${degrees(largest)}.`,
      },
    ];
  });
}

function definitionRow(entry: ElbowComparison['definitions'][number]): AngleDefinitionRow {
  return {
    definition: entry.label,
    equation: entry.equation,
    meanDifference: entry.mean_deg,
    sdDifference: entry.sd_deg,
    largestDifference: entry.largest_deg,
    inRow: entry.largestRow,
    why: entry.why,
  };
}

function stepRow({ heading, symbol, name, equation, numbers, value, unit, source }: AngleStep): AngleStepRow {
  const six = (number: number) =>
    Number(number.toPrecision(6)) === 0 ? '0' : String(Number(number.toPrecision(9)));
  const shown =
    typeof value === 'number'
      ? six(value)
      : typeof value[0] === 'number'
        ? (value as readonly number[]).map(six).join(', ')
        : (value as readonly (readonly number[])[]).map((line) => line.map(six).join(', ')).join('; ');
  return { heading, symbol, name, equation, numbers: numbers ?? '', value: shown, unit, source };
}

function angleOf(entry: Readonly<Record<string, unknown>> | undefined, names: readonly string[]): string {
  return names
    .flatMap((name) => {
      const value = entry?.[name];
      const sd = entry?.[`${name}_sd`];
      return typeof value === 'number'
        ? [
            `${name.replace('_deg', '')} ${degrees(value)}${typeof sd === 'number' ? ` (SD ${degrees(sd)})` : ''}`,
          ]
        : [];
    })
    .join(', ');
}

function seriesColumns(
  series: readonly object[],
  names: readonly string[],
): Readonly<Record<string, number | null>>[] {
  return series.map((entry) => {
    const own = entry as Readonly<Record<string, number | null>>;
    return Object.fromEntries(['row', ...names].map((name) => [name, own[name] ?? null]));
  });
}

function commandOf({ table, published, noise_mm, row, tolerance_deg }: AngleFindingInput): string[] {
  const points = Object.entries(table.namesOf).map(([role, names]) => `${role}=${names.join('+')}`);
  return [
    'angle',
    `--definition ${table.definition}`,
    '--data POINTS',
    `--points ${points.join(',')}`,
    ...(table.side === 'left' ? ['--side left'] : []),
    ...(table.unit?.from === 'given' ? [`--unit ${table.unit.unit}`] : []),
    ...(published === undefined ? [] : ['--published PUBLISHED']),
    ...(noise_mm === undefined ? [] : [`--noise-mm ${noise_mm}`]),
    ...(row === undefined ? [] : [`--steps ${row}`]),
    ...(tolerance_deg === undefined ? [] : [`--tolerance-deg ${tolerance_deg}`]),
  ];
}

function nextFor(standing: ReturnType<typeof angleStanding>, fits: string | null): string[] {
  switch (standing) {
    case 'every-digit':
    case 'within':
      return [
        'Cite the definition with the number: points, frames, sequence and sign, and the version named below.',
      ];
    case 'beyond':
      return fits === null
        ? [
            'Check in this order: the side, which point is which, the unit, the sequence, whether a joint centre stands where we have a marker.',
          ]
        : [`Quote the published number under the definition it has: ${fits}.`];
    case 'border':
      return ['Measure the noise of your own markers, or give a tolerance that suits the use of the number.'];
    default:
      return ['Give the published angles with --published, by row of the points.'];
  }
}
