import { basename, join, resolve } from 'node:path';
import { sha256Hex } from '../../dataset/index.ts';
import {
  ANGLE_ROLES,
  type AngleSteps,
  budgetOf,
  type CaptureResult,
  compareElbows,
  type ElbowComparison,
  type ErrorBudget,
  type PointTable,
  readPoints,
  seriesOf,
  stepsOf,
} from '../../kinematics/index.ts';
import { writeReport } from '../../report/index.ts';
import {
  type AngleTables,
  angleFinding,
  angleNames,
  type Finding,
  type PublishedAngles,
  readPublished,
  serialiseFinding,
} from '../../studies/index.ts';
import { budgetInWords, comparisonInWords, seriesInWords, stepsInWords } from '../angle-words.ts';
import type { Given } from '../command.ts';
import { readNamedFile, takenFolder } from '../files.ts';
import { findingInWords } from '../finding-words.ts';
import { textOption } from '../folder.ts';
import type { Progress } from '../progress.ts';
import { type CommandResult, type Fault, good, refused } from '../result.ts';

/** What a marker's coordinate is taken to be off by where nobody says, mm: what optical systems usually state. */
const ASSUMED_NOISE_MM = 1;

export async function run(given: Given, progress: Progress): Promise<CommandResult> {
  const points = parsePoints(textOption(given, 'points') ?? '');
  const side = oneOf('--side', textOption(given, 'side') ?? 'right', ['right', 'left'] as const);
  const typedUnit = textOption(given, 'unit');
  const unit = typedUnit === undefined ? null : oneOf('--unit', typedUnit, ['m', 'cm', 'mm', 'in'] as const);
  const noise = parseNumber('--noise-mm', textOption(given, 'noiseMm'), 'a length in mm, such as 1.5');
  const row = parseNumber('--steps', textOption(given, 'steps'), 'a row, counted from 1');
  const tolerance = parseNumber(
    '--tolerance-deg',
    textOption(given, 'toleranceDeg'),
    'an angle in degrees, such as 0.5',
  );
  const dataFile = textOption(given, 'data') ?? '';
  const data = await readNamedFile('--data', dataFile);
  const publishedFile = textOption(given, 'published');
  const printed = publishedFile === undefined ? null : await readNamedFile('--published', publishedFile);
  const out = textOption(given, 'out');
  const taken = out === undefined ? [] : await takenFolder('--out', out);
  const faults = [
    ...points.faults,
    ...side.faults,
    ...(unit?.faults ?? []),
    ...noise.faults,
    ...row.faults,
    ...tolerance.faults,
    ...(printed === null || printed.ok ? [] : printed.faults),
    ...taken,
    ...(data.ok ? [] : data.faults),
  ];
  if (!data.ok || faults.length > 0) return refused(2, faults);
  progress.step('Computing');
  const table = readPoints({
    definition: textOption(given, 'definition') ?? '',
    csvBytes: data.value,
    points: points.byRole,
    side: side.value,
    ...(unit === null ? {} : { unit: unit.value }),
  });
  if (!table.ok) return refused(2, table.problems);
  if (printed?.ok || out !== undefined) {
    const files = [named(dataFile, data.value)];
    let published: PublishedAngles | undefined;
    if (printed?.ok && publishedFile !== undefined) {
      const read = readPublished(basename(publishedFile), printed.value, angleNames(table.value.definition));
      if (!read.ok) return refused(2, read.problems);
      published = read.published;
      files.push(named(publishedFile, printed.value));
    }
    const outcome = angleFinding({
      table: table.value,
      inputs: files,
      ...(published === undefined ? {} : { published }),
      ...(noise.value === undefined ? {} : { noise_mm: noise.value }),
      ...(row.value === undefined ? {} : { row: row.value }),
      ...(tolerance.value === undefined ? {} : { tolerance_deg: tolerance.value }),
    });
    if (!outcome.ok) return refused(2, outcome.problems);
    return answered(outcome.finding, out, progress);
  }
  return answer(table.value, noise.value, row.value, given.options.compare === true);
}

/** The finding on a published angle, with its report where one is wanted. */
async function answered(
  finding: Finding<AngleTables>,
  out: string | undefined,
  progress: Progress,
): Promise<CommandResult> {
  const json: unknown = JSON.parse(serialiseFinding(finding));
  const words = findingInWords(finding);
  if (out === undefined) return good(json, words, []);
  progress.step('Writing the report');
  const { page } = await writeReport(out, finding);
  return good(json, `${words}\n\nThe report: ${resolve(join(out, page))}`, []);
}

/** A file by its name, without the folders that lead to it, and its SHA-256. */
function named(path: string, bytes: Uint8Array) {
  return { file: basename(path), sha256: sha256Hex(bytes) };
}

/** What was asked of the points: the series always, and beside it the steps of a row and the comparison. */
function answer(
  table: PointTable,
  noise_mm: number | undefined,
  row: number | undefined,
  compare: boolean,
): CommandResult {
  const series = seriesOf(table, noise_mm);
  const steps = row === undefined ? null : stepsOf(table, row);
  const budget = row === undefined ? null : budgetOf(table, row, noise_mm ?? ASSUMED_NOISE_MM);
  const comparison = compare ? compareElbows(table) : null;
  const parts: readonly (CaptureResult<unknown> | null)[] = [series, steps, comparison];
  const problems = parts.flatMap((part) => (part === null || part.ok ? [] : part.problems));
  if (!series.ok || problems.length > 0) return refused(2, problems);
  // A table without a known unit still has its steps; only the budget in millimetres cannot be had.
  const messages = [
    ...series.value.warnings,
    ...(budget?.ok === false ? budget.problems.map(({ remedy }) => `No error budget: ${remedy}`) : []),
  ];
  const words: string[] = [];
  if (steps?.ok) words.push(stepsInWords(steps.value));
  if (budget?.ok) words.push(budgetWords(budget.value, noise_mm !== undefined, table));
  if (comparison?.ok) words.push(comparisonInWords(comparison.value));
  return good(
    {
      ...series.value,
      ...valueAs<AngleSteps>('steps', steps),
      ...valueAs<ErrorBudget>('budget', budget, {
        noise: noise_mm === undefined ? 'assumed' : 'given',
        unit: table.unit,
      }),
      ...valueAs<ElbowComparison>('comparison', comparison),
    },
    words.length === 0 ? seriesInWords(series.value) : words.join('\n\n'),
    messages,
  );
}

function valueAs<T extends object>(
  key: string,
  result: CaptureResult<T> | null,
  more: object = {},
): Record<string, unknown> {
  return result?.ok ? { [key]: { ...result.value, ...more } } : {};
}

function budgetWords(budget: ErrorBudget, given: boolean, { unit }: PointTable): string {
  if (unit === null) throw new Error('budgetWords: a budget was made without a unit of length');
  return budgetInWords(budget, { given, unit: unit.unit, unitFrom: unit.from });
}

/** ROLE=NAME,ROLE=NAME as typed; a part without a role or a name is a fault. */
function parsePoints(typed: string): { byRole: Record<string, string>; faults: Fault[] } {
  const faults: Fault[] = [];
  const entries: [string, string][] = [];
  for (const part of typed.split(',')) {
    const cut = part.indexOf('=');
    const [role, name] = [part.slice(0, cut).trim(), part.slice(cut + 1).trim()];
    if (cut > 0 && name !== '') entries.push([role, name]);
    else
      faults.push({
        where: '--points',
        found: `"${part}"`,
        expected: `ROLE=NAME, the roles being ${Object.entries(ANGLE_ROLES)
          .map(([definition, roles]) => `${roles.join(', ')} for ${definition}`)
          .join('; ')}`,
        remedy: 'name the point of each role, with commas between them and no spaces',
      });
  }
  return { byRole: Object.fromEntries(entries), faults };
}

function oneOf<const Word extends string>(
  where: string,
  typed: string,
  words: readonly Word[],
): { value: Word; faults: Fault[] } {
  const value = words.find((word) => word === typed);
  if (value !== undefined) return { value, faults: [] };
  const fault = { where, found: `"${typed}"`, expected: words.join(', '), remedy: 'give one of these words' };
  return { value: words[0]!, faults: [fault] };
}

function parseNumber(
  where: string,
  typed: string | undefined,
  expected: string,
): { value: number | undefined; faults: Fault[] } {
  if (typed === undefined) return { value: undefined, faults: [] };
  const value = Number(typed);
  if (typed.trim() !== '' && Number.isFinite(value)) return { value, faults: [] };
  return { value: undefined, faults: [{ where, found: `"${typed}"`, expected, remedy: 'give a number' }] };
}
