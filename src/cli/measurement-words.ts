import { type Measurement, metricByColumn, quantityCatalogue } from '../kinematics/index.ts';
import { wrapped } from './wrapped.ts';

const WIDTH = 96;

/**
 * A measured swing for people: the instants in order with their uncertainty and what other definitions give, each number
 * with its unit and uncertainty, and what was done to the data on the way.
 */
export function measurementInWords(measurement: Measurement): string {
  const quantities = quantityCatalogue.flatMap(({ label, unit, measured }) =>
    measured?.in === 'quantities' ? [{ label, unit, decimals: 1, key: measured.key }] : [],
  );
  const columns = Object.keys(measurement.swing)
    .filter((column) => !column.endsWith('_sd'))
    .map((column) => ({ ...metricByColumn(column), key: column }));
  return [
    'Instants, from impact (how far the true moment may be off in brackets):',
    ...instantLines(measurement),
    '',
    'Numbers (SD of the measurement in brackets):',
    ...columns.map((metric) => valueLine(metric, measurement.swing)),
    '',
    'Beside the columns of the swings table:',
    ...quantities.map((quantity) => valueLine(quantity, measurement.quantities)),
    '',
    'What was done to the data:',
    ...doneSentences(measurement).map((sentence) => wrapped(sentence, WIDTH, '  ', '    ')),
  ].join('\n');
}

function instantLines({ instants, instantDetails, alternativeInstants }: Measurement): string[] {
  const names = Object.keys(instants) as (keyof typeof instants)[];
  names.sort((a, b) => (instants[a] ?? 0) - (instants[b] ?? 0));
  return names.map((name) => {
    const off = instantDetails[name];
    const others = Object.entries(alternativeInstants[name] ?? {}).map(
      ([way, { time_s }]) => `by ${way}: ${milliseconds(time_s)}`,
    );
    return [
      `  ${name}: ${milliseconds(instants[name] ?? Number.NaN)}`,
      ...(off ? [` (${(off.uncertainty_s * 1000).toFixed(1)})`] : []),
      ...(others.length > 0 ? [`; ${others.join('; ')}`] : []),
    ].join('');
  });
}

const milliseconds = (seconds: number): string => `${(seconds * 1000).toFixed(0)} ms`;

interface Shown {
  readonly key: string;
  readonly label: string;
  readonly unit: string;
  readonly decimals: number;
}

function valueLine({ key, label, unit, decimals }: Shown, values: Measurement['swing']): string {
  const value = values[key] ?? null;
  const sd = values[`${key}_sd`] ?? null;
  if (value === null) return `  ${label}: not measured`;
  return `  ${label}: ${value.toFixed(decimals)} ${unit}${sd === null ? '' : ` (${sd.toFixed(decimals + 1)})`}`;
}

function doneSentences({ processing, swingPlanes }: Measurement): string[] {
  const { filter, derivatives, noise, noise_mm, repairs, gaps, segmentDefinitions } = processing;
  const noises = Object.values(noise_mm);
  const plane = swingPlanes.find(({ used }) => used);
  const filled = gaps.filter(({ filledBy }) => filledBy !== null).length;
  return [
    `${filter.method} Cut-offs: ${filter.cutoff}. ${filter.throughImpact ? 'Filtered through impact, as asked.' : 'Not filtered through impact.'}`,
    derivatives.inWords,
    `Noise of a coordinate, ${noise === 'given' ? 'as the layout gives it' : 'estimated from segments that should be rigid'}: ${range(noises)} mm.`,
    ...(gaps.length > 0 ? [`Gaps: ${gaps.length}, of which ${filled} filled.`] : []),
    ...repairs.map(
      ({ found, landmarks, from, to, done, because }) =>
        `${landmarks.join(' and ')}, frames ${from} to ${to}: ${found}, ${done}. ${because}`,
    ),
    ...(plane
      ? [
          `Swing plane fitted to the path of the ${plane.path} from ${plane.from} to ${plane.to}: ${plane.frames} frames, ${plane.residual_mm.toFixed(1)} mm off it (root mean square).`,
        ]
      : []),
    `Pelvis turn by: ${segmentDefinitions.pelvisTurn}. Thorax turn by: ${segmentDefinitions.thoraxTurn}.`,
  ];
}

function range(values: readonly number[]): string {
  const [low, high] = [Math.min(...values).toFixed(1), Math.max(...values).toFixed(1)];
  return low === high ? low : `${low} to ${high}`;
}
