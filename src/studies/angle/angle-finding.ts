import { budgetOf, compareElbows, seriesOf, stepsOf } from '../../kinematics/index.ts';
import type { AngleTables } from '../angle-tables.ts';
import type { Finding, SmallestChange } from '../finding.ts';
import { PACKAGE } from '../package-version.ts';
import { groupLeftOut } from '../shared/left-out.ts';
import { count } from '../shared/words.ts';
import type { StudyOutcome, StudyProblem } from '../study.ts';
import { type AngleFindingInput, ASSUMED_NOISE_MM, DEFAULT_TOLERANCE_DEG } from './angle-finding-input.ts';
import { angleSentence, angleStanding, angleVerdict, angleWords } from './answer-words.ts';
import { budgetChecks, budgetEstimates, budgetTable } from './budget.ts';
import { commandOf } from './command.ts';
import { DEFINITION_WORDS } from './definition-words.ts';
import { differenceEstimates } from './difference-estimates.ts';
import { differencesOf, summarise } from './differences.ts';
import { nextFor } from './next-steps.ts';
import { underOtherDefinitions } from './other-definitions.ts';
import { definitionRow, seriesColumns, stepRow } from './tables.ts';

/**
 * Can I reproduce this published angle? Works every row of the points through the definition, sets the published angles
 * beside it, and compares the largest difference (with what marker noise could make of it) with a tolerance. Every step of
 * one row, its error budget, and the other definitions are in the finding, so that it says which of them was published.
 *
 * It stands beside the studies of a dataset: its input is a table of points, and its finding is like any other.
 *
 * @example
 * const file = 'notebooks/data/elbow/published.json';
 * const read = readPublished(file, readFileSync(file), ['flexion_deg', 'carrying_deg', 'pronation_deg']);
 * const outcome = angleFinding({ table: points, published: read.published, noise_mm: 1 });
 * outcome.ok && outcome.finding.answer // 'Cannot tell: the largest of 9 differences …'
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
  const worked = angleWords(
    series.value.series[row - 1] as unknown as Readonly<Record<string, unknown>>,
    names,
  );
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
      ...budgetEstimates(budget, row, noise_mm),
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
      ...budgetChecks(budget),
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
      budget: budgetTable(budget, noise_mm),
      definitions: others?.definitions.map(definitionRow) ?? [],
      series: others?.rows.map((entry) => ({ ...entry })) ?? seriesColumns(series.value.series, names),
    },
    warnings: [],
    next: nextFor(standing, fits),
  };
  return { ok: true, finding };
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
