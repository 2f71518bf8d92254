/**
 * Does the comparison of curves tell the truth? Draws cohorts of golfers' curves whose difference is known and counts how
 * often the 95% band holds the true curve everywhere, how often each method finds a window where there is none (family-wise
 * error), which verdicts are given, and how far the window found is from the planted one.
 *
 *   npx tsx tests/bench/calibrate-waveform.ts [cohorts per case, default 2000] [seed, default 1]
 *
 * Prints a table and writes reports/calibration-waveform.json.
 */
import { writeFileSync } from 'node:fs';
import { createStream, type Stream, symmetricEigen } from '../../src/numerics/index.ts';
import { type CurveQuestion, curvesFrom, maximumCritical } from '../../src/stats/index.ts';
import { compareCurves } from '../../src/studies/waveform/analysis/compare-curves.ts';
import { curveVerdict, decidingNode } from '../../src/studies/waveform/analysis/curve-verdict.ts';

export interface CalibrationRow {
  readonly study: 'waveform';
  readonly case: string;
  /** Largest true difference, in SDs of one golfer's curve. */
  readonly truth: number;
  readonly cohorts: number;
  readonly answered: number;
  /** Cohorts whose band holds the true curve at every node. */
  readonly covered: number;
  readonly coverage: number;
  readonly coverageError: number;
  /** Cohorts with the verdict `meaningful`. */
  readonly meaningful: number;
  /** Mean of the estimate at the true peak less the truth, and its Monte Carlo standard error. */
  readonly bias: number;
  readonly standardError: number;
  /** Share of cohorts in which something is found outside the true difference: by the study, by permutation alone, by random fields. */
  readonly falseWindows: number;
  readonly falseByPermutation: number;
  readonly falseByRandomField: number;
  /** Of cohorts where the planted window is found: median distance of its peak from the true one, and of its edges, % of the downswing. */
  readonly found: number;
  readonly peakError_pct: number | null;
  readonly fromError_pct: number | null;
  readonly toError_pct: number | null;
}

const NODES = 101;
const SMALLEST = { value: 0.5, goodDirection: 0 } as const;
/** Planted: a raised cosine from 40 to 70% with its peak at 55%. */
const WINDOW = { from: 40, to: 70, peak: 55 } as const;
/** The true difference is taken as there where it is more than this share of its peak. */
const THERE = 0.02;

interface Case {
  readonly name: string;
  readonly kind: 'one-sample' | 'two-sample' | 'regression';
  readonly golfers: number;
  readonly fwhm: number;
  readonly height: number;
  readonly tails?: 'normal' | 'heavy';
}

const COMPARED = [
  ['one-sample', 8, 25],
  ['one-sample', 16, 25],
  ['two-sample', 12, 25],
  ['two-sample', 24, 25],
  ['two-sample', 24, 10],
  ['regression', 20, 25],
] as const;

const named = (of: Omit<Case, 'name'>): Case => ({
  name: `${of.kind}, ${of.golfers} golfers, FWHM ${of.fwhm}%, ${of.tails === 'heavy' ? 'heavy tails, ' : ''}${of.height === 0 ? 'no difference' : 'one window'}`,
  ...of,
});

export const CASES: readonly Case[] = [
  ...COMPARED.map(([kind, golfers, fwhm]) => named({ kind, golfers, fwhm, height: 0 })),
  named({ kind: 'one-sample', golfers: 6, fwhm: 25, height: 0 }),
  named({ kind: 'two-sample', golfers: 12, fwhm: 2, height: 0 }),
  named({ kind: 'one-sample', golfers: 16, fwhm: 25, height: 0, tails: 'heavy' }),
  ...COMPARED.map(([kind, golfers, fwhm]) => named({ kind, golfers, fwhm, height: 2 })),
];

/** Where nothing differs, so many times more cohorts are drawn, since an error rate near 5% is to be told to within 1%. */
const MORE_WITHOUT_DIFFERENCE = 2.5;

/** Rows of the calibration, one for each case. */
export function calibrateWaveform(
  cohorts: number,
  seed: number,
  cases: readonly Case[] = CASES,
): CalibrationRow[] {
  return cases.map((of) =>
    calibrateCase(
      of,
      of.height === 0 ? Math.round(MORE_WITHOUT_DIFFERENCE * cohorts) : cohorts,
      createStream(seed, 'calibrate waveform', of.name),
    ),
  );
}

function calibrateCase(of: Case, cohorts: number, stream: Stream): CalibrationRow {
  const draw = smoothCurves(of.fwhm);
  const x = predictorOf(of);
  const truth = Array.from({ length: NODES }, (_, q) => of.height * raisedCosine(q));
  const question: CurveQuestion =
    of.kind === 'one-sample'
      ? { kind: 'one-sample' }
      : of.kind === 'two-sample'
        ? { kind: 'two-sample', second: x.map((value) => value === 1) }
        : { kind: 'regression', predictor: x };
  const tally = { covered: 0, meaningful: 0, answered: 0, ours: 0, permutation: 0, randomField: 0 };
  const peaks: number[] = [];
  const found: { peak: number; from: number; to: number }[] = [];
  for (let c = 0; c < cohorts; c++) {
    const rows = x.map((value) => {
      const scale = of.tails === 'heavy' ? Math.sqrt(3 / chiSquared3(stream)) : 1;
      const curve = draw(stream);
      return curve.map((sample, q) => scale * sample + value * truth[q]!);
    });
    const permutationSeed = stream.integer(0, 2 ** 40);
    const compared = compareCurves(curvesFrom(rows), question, {
      level: 0.95,
      most: 500,
      stream: () => createStream(permutationSeed, 'permutations'),
    });
    const { band, effect, t } = compared;
    const nothing = (q: number) => truth[q]! <= THERE * of.height;
    const outside = (limit: number) => t.some((value, q) => nothing(q) && Math.abs(value) > limit);
    if (outside(maximumCritical(compared.distribution, 0.95) ?? Number.POSITIVE_INFINITY))
      tally.permutation += 1;
    if (outside(compared.randomField.value)) tally.randomField += 1;
    if (band === null) continue;
    tally.answered += 1;
    if (truth.every((value, q) => band.low[q]! <= value && value <= band.high[q]!)) tally.covered += 1;
    if (outside(compared.critical!)) tally.ours += 1;
    const verdict = curveVerdict(compared, SMALLEST);
    if (verdict === 'meaningful') tally.meaningful += 1;
    peaks.push(effect[WINDOW.peak]! - truth[WINDOW.peak]!);
    const node = decidingNode(compared, verdict, 0);
    const window = compared.windows.find(({ from, to }) => from <= node && node <= to);
    if (of.height > 0 && window !== undefined && window.from < WINDOW.to && window.to > WINDOW.from)
      found.push({
        peak: Math.abs(node - WINDOW.peak),
        from: window.from - WINDOW.from,
        to: window.to - WINDOW.to,
      });
  }
  const { covered, answered } = tally;
  const coverage = covered / answered;
  const mean = peaks.reduce((sum, value) => sum + value, 0) / peaks.length;
  const variance = peaks.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (peaks.length - 1);
  return {
    study: 'waveform',
    case: of.name,
    truth: of.height,
    cohorts,
    answered,
    covered,
    coverage,
    coverageError: Math.sqrt((coverage * (1 - coverage)) / answered),
    meaningful: tally.meaningful,
    bias: mean,
    standardError: Math.sqrt(variance / peaks.length),
    falseWindows: tally.ours / cohorts,
    falseByPermutation: tally.permutation / cohorts,
    falseByRandomField: tally.randomField / cohorts,
    found: found.length,
    peakError_pct: middle(found.map(({ peak }) => peak)),
    fromError_pct: middle(found.map(({ from }) => from)),
    toError_pct: middle(found.map(({ to }) => to)),
  };
}

function predictorOf({ kind, golfers }: Case): number[] {
  if (kind === 'one-sample') return Array.from({ length: golfers }, () => 1);
  if (kind === 'two-sample') return Array.from({ length: golfers }, (_, j) => Number(j >= golfers / 2));
  // Evenly spaced, with SD 1.
  const step = Math.sqrt(12 / (golfers * (golfers + 1)));
  return Array.from({ length: golfers }, (_, j) => (j - (golfers - 1) / 2) * step);
}

function raisedCosine(pct: number): number {
  const { from, to } = WINDOW;
  return pct <= from || pct >= to ? 0 : (1 - Math.cos((2 * Math.PI * (pct - from)) / (to - from))) / 2;
}

/** Draws curves of variance one whose covariance is that of white noise under a Gaussian kernel of this width, nodes. */
function smoothCurves(fwhm: number): (stream: Stream) => number[] {
  const sd = fwhm / Math.sqrt(8 * Math.LN2);
  const covariance = new Float64Array(NODES * NODES);
  for (let i = 0; i < NODES; i++)
    for (let j = 0; j < NODES; j++) covariance[i * NODES + j] = Math.exp(-((i - j) ** 2) / (4 * sd * sd));
  const { values, vectors } = symmetricEigen(covariance, NODES);
  const kept = [...values.keys()].filter((k) => values[k]! > 1e-12 * NODES);
  return (stream) => {
    const curve = Array.from({ length: NODES }, () => 0);
    for (const k of kept) {
      const size = Math.sqrt(values[k]!) * stream.normal();
      for (let q = 0; q < NODES; q++) curve[q]! += size * vectors[q * NODES + k]!;
    }
    return curve;
  };
}

function chiSquared3(stream: Stream): number {
  return stream.normal() ** 2 + stream.normal() ** 2 + stream.normal() ** 2;
}

function middle(values: readonly number[]): number | null {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted.length === 0 ? null : sorted[Math.floor(sorted.length / 2)]!;
}

if (process.argv[1]?.endsWith('calibrate-waveform.ts')) {
  const cohorts = Number(process.argv[2] ?? 2000);
  const seed = Number(process.argv[3] ?? 1);
  const rows = CASES.map((of) => {
    const row = calibrateWaveform(cohorts, seed, [of])[0]!;
    console.log(inWords(row));
    return row;
  });
  writeFileSync('reports/calibration-waveform.json', `${JSON.stringify({ cohorts, seed, rows }, null, 1)}\n`);
}

function inWords(row: CalibrationRow): string {
  const percent = (share: number) => (100 * share).toFixed(2);
  return [
    row.case.padEnd(62),
    `${row.cohorts}: coverage ${percent(row.coverage)}`,
    `false: study ${percent(row.falseWindows)} permutation ${percent(row.falseByPermutation)} random field ${percent(row.falseByRandomField)}`,
    `meaningful ${percent(row.meaningful / row.cohorts)}`,
    `bias ${row.bias.toFixed(3)}`,
    row.found === 0
      ? ''
      : `found ${row.found}, peak off ${row.peakError_pct}, edges off ${row.fromError_pct} and ${row.toError_pct}`,
  ].join('  ');
}
