import type {
  AngleSeries,
  AngleStep,
  AngleSteps,
  ElbowComparison,
  ErrorBudget,
  LengthUnit,
} from '../kinematics/index.ts';
import { wrapped } from './wrapped.ts';

const WIDTH = 96;

/** How the noise of an error budget is known, and the unit of the table it is set against. */
export interface NoiseWords {
  readonly given: boolean;
  readonly unit: LengthUnit;
  readonly unitFrom: 'given' | 'columns' | 'lengths';
}

/** The angles, row by row, for a person. */
export function seriesInWords({ definition, series }: AngleSeries): string {
  const lines = series.map(({ row, reason, ...angles }) => {
    if (reason !== undefined) return `  row ${row}: none (${reason})`;
    const values: Readonly<Record<string, number | null>> = angles;
    const shown = Object.keys(values)
      .filter((name) => !name.endsWith('_sd'))
      .map((name) => {
        const sd = values[`${name}_sd`];
        return `${name.replace('_deg', '')} ${values[name]!.toFixed(3)}${typeof sd === 'number' ? ` (SD ${sd.toFixed(3)})` : ''}`;
      });
    return `  row ${row}: ${shown.join(', ')}`;
  });
  return [`${definition}, degrees, row by row:`, ...lines].join('\n');
}

/** Every step of one row under its heading, with equation and source, and the sources in full at the end. */
export function stepsInWords({ definition, row, points, mirrored, steps, sources }: AngleSteps): string {
  const lines = [`${definition}, row ${row}, step by step`];
  if (mirrored) lines.push('A left arm: every point was mirrored first (the sign of its z changed).');
  const rules = steps.map((step) => ruleOf(step, points));
  // A matrix stands below its rule, so that only the others need room beside theirs.
  const beside = rules.filter((_, k) => steps[k]?.unit !== 'none');
  const width = Math.max(...beside.map((rule) => rule.length)) + 2;
  steps.forEach((step, k) => {
    if (step.heading !== steps[k - 1]?.heading)
      lines.push('', step.source === '' ? step.heading : `${step.heading}   [${step.source}]`);
    lines.push(...stepLines(step, rules[k]!, width));
  });
  const references = Object.entries(sources).map(([name, full]) =>
    wrapped(`${name}: ${full}.`, WIDTH, '  ', '    '),
  );
  return [...lines, ...(references.length === 0 ? [] : ['', 'Sources', ...references])].join('\n');
}

/** What stands to the left of a step's numbers: its equation, or whose point it is. */
function ruleOf({ symbol, name, equation }: AngleStep, points: AngleSteps['points']): string {
  if (equation !== '') return `  ${equation}`;
  return `  ${symbol.padEnd(3)} ${name.padEnd(19)} ${points[name.replaceAll(' ', '_')] ?? ''}`;
}

function stepLines({ numbers, value, unit }: AngleStep, rule: string, width: number): string[] {
  if (typeof value === 'number') {
    const middle = numbers === undefined ? '' : ` = ${numbers}`;
    return [`${rule}${middle} = ${unit === 'deg' ? `${value.toFixed(4)} deg` : value.toPrecision(6)}`];
  }
  const [first] = value;
  if (typeof first === 'number') return [`${rule.padEnd(width)}${coordinates(value as readonly number[])}`];
  return [rule, ...value.map((row) => ' '.repeat(width) + coordinates(row as readonly number[]))];
}

const coordinates = (row: readonly number[]): string =>
  row.map((v) => String(Number(v.toPrecision(6)) === 0 ? 0 : v.toFixed(6)).padStart(12)).join('');

/** Which marker is to blame for how much of each angle's uncertainty. */
export function budgetInWords(
  { row, noise_mm, nearlyStraight, angles }: ErrorBudget,
  noise: NoiseWords,
): string {
  const known = noise.given
    ? 'as given'
    : 'an assumption; give the noise of your own markers with --noise-mm';
  const unit =
    noise.unitFrom === 'lengths'
      ? ` The table was taken to be in ${noise.unit}, by the length of the arm.`
      : '';
  const opening = `Error budget of row ${row}: every coordinate of every marker is off by itself with an SD of ${noise_mm} mm (${known}), carried through to the first order.${unit}`;
  const straight = nearlyStraight
    ? [
        wrapped(
          'The elbow is within 20 deg of straight: upper arm and forearm hardly fix the plane in which it bends, and little noise turns that plane far.',
          WIDTH,
        ),
      ]
    : [];
  return [wrapped(opening, WIDTH), ...straight, ...angles.map(angleBudgetLines)].join('\n');
}

function angleBudgetLines({
  angle,
  value_deg,
  sd_deg,
  bias_deg,
  firstOrderHolds,
  entries,
}: ErrorBudget['angles'][number]): string {
  const markers = [...new Set(entries.map(({ marker }) => marker))]
    .map((marker) => {
      const own = entries.filter((entry) => entry.marker === marker);
      return { marker, own, share: own.reduce((sum, { share }) => sum + share, 0) };
    })
    .sort((a, b) => b.share - a.share);
  const name = angle.replace('_deg', '');
  return [
    '',
    `  ${name} ${value_deg.toFixed(2)} deg, SD ${sd_deg.toFixed(2)} deg`,
    `    ${'marker'.padEnd(28)}${'deg per mm: x'.padStart(16)}${'y'.padStart(10)}${'z'.padStart(10)}${'share'.padStart(10)}`,
    ...markers.map(
      ({ marker, own, share }) =>
        `    ${marker.padEnd(28)}${own
          .map(({ slope_deg_per_mm: slope }, k) => signed(slope, 3).padStart(k === 0 ? 16 : 10))
          .join('')}${`${(100 * share).toFixed(0)}%`.padStart(10)}`,
    ),
    ...(firstOrderHolds
      ? []
      : [
          wrapped(
            `The first order does not tell all here: noise of this size also shifts the ${name} by about ${signed(bias_deg, 2)} deg, because the angle bends sharply where it stands.`,
            WIDTH,
            '    ',
          ),
        ]),
  ].join('\n');
}

/** Each other definition against ISB flexion, with the reason under it. */
export function comparisonInWords({ rows, definitions }: ElbowComparison): string {
  const compared = rows.filter(({ isb_flexion_deg }) => isb_flexion_deg !== null).length;
  return [
    `Other definitions of the elbow minus ISB flexion, deg, over ${compared} ${compared === 1 ? 'row' : 'rows'}`,
    `  ${''.padEnd(52)}${'mean'.padStart(8)}${'SD'.padStart(8)}${'largest'.padStart(10)}`,
    ...definitions.flatMap(({ label, mean_deg, sd_deg, largest_deg, largestRow, why }) => [
      `  ${label.padEnd(52)}${signed(mean_deg, 1).padStart(8)}${sd_deg.toFixed(1).padStart(8)}${signed(largest_deg, 1).padStart(10)} (row ${largestRow})`,
      wrapped(why, WIDTH, '    '),
      '',
    ]),
  ]
    .join('\n')
    .trimEnd();
}

function signed(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  if (Number(text) === 0) return text.replace('-', '');
  return value > 0 ? `+${text}` : text;
}
