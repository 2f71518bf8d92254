import type { Plan } from '../../../dataset/index.ts';
import { createStream } from '../../../numerics/index.ts';
import {
  countPhaseAssignments,
  occasionsForAssignments,
  randomisationTest,
  type SingleCaseDesign,
  type StartWindow,
} from '../../../stats/index.ts';
import type { RandomisationTable } from '../../one-golfer-tables.ts';
import { count } from '../../shared/words.ts';
import { type GolferSeries, patternOf, runLengths } from '../input/series.ts';

/** The fewest sessions in a phase where the plan does not say (three points a phase: Kratochwill et al. 2013, Remedial Spec Educ 34:26-38). */
export const DEFAULT_LEAST = 3;
export const DEFAULT_SEED = 1;
const ALPHA = 0.05;
const MOST_SHOWN = 2_000;

export type Randomisation =
  | { readonly ok: true; readonly table: RandomisationTable; readonly remedy: string }
  | { readonly ok: false; readonly why: string };

/** The randomisation test of the design as it turned out, or why there is none. */
export function testByRandomisation(
  series: readonly GolferSeries[],
  plan: Plan | null,
  level: number,
  seed: number,
): Randomisation {
  const patterns = series.map(patternOf);
  const odd = patterns.find((pattern) => !/^(AB)+A?$/.test(pattern));
  if (odd !== undefined)
    return {
      ok: false,
      why:
        odd === '' || !odd.includes('B') || !odd.includes('A')
          ? 'there are no two phases to compare'
          : `the phases run ${odd}: the test here begins with A`,
    };
  const built = series.length === 1 ? phaseDesign(series[0]!, plan) : baselineDesign(series, patterns, plan);
  if ('why' in built) return { ok: false, why: built.why };
  const { design, least, remedy } = built;
  const test = randomisationTest(design, { level, stream: createStream(seed, 'one-golfer', 'ways') });
  return {
    ok: true,
    remedy,
    table: {
      kind: design.kind,
      pattern: patterns[0]!,
      sessions: series.reduce((sum, { compared }) => sum + compared.length, 0),
      least,
      ways: test.ways,
      difference: test.difference,
      p: test.p,
      smallestP: test.smallestP,
      exact: test.exact,
      counted: test.counted,
      drawn: plan?.series?.startDrawn === true,
      interval: test.interval,
      differences: test.counted > MOST_SHOWN ? [] : [...test.differences].sort((a, b) => a - b),
    },
  };
}

/** Whether the smallest p that the design allows reaches 0.05. */
export function reachesFive(table: Pick<RandomisationTable, 'smallestP'>): boolean {
  return table.smallestP <= ALPHA + 1e-12;
}

interface Built {
  readonly design: SingleCaseDesign;
  readonly least: number | null;
  /** What would let p reach 0.05. */
  readonly remedy: string;
}

function phaseDesign(one: GolferSeries, plan: Plan | null): Built | { readonly why: string } {
  const lengths = runLengths(one);
  const shortest = Math.min(...lengths);
  const planned = plan?.series?.leastSessions;
  if (planned !== undefined && shortest < planned)
    return {
      why: `the plan allows no phase under ${count(planned, 'session')}, and one has ${shortest}: the design that was carried out is not one that could have been drawn`,
    };
  const least = planned ?? Math.min(DEFAULT_LEAST, shortest);
  const starts = lengths.slice(0, -1).map((_, i) => lengths.slice(0, i + 1).reduce((sum, n) => sum + n, 0));
  const phases = lengths.length;
  const sessions = one.compared.length;
  const wished = planned ?? DEFAULT_LEAST;
  const more = occasionsForAssignments(1 / ALPHA, phases, wished);
  return {
    design: { kind: 'phases', values: one.compared.map(({ mean }) => mean), starts, least },
    least,
    remedy:
      countPhaseAssignments(sessions, phases, least) >= 1 / ALPHA
        ? ''
        : `with at least ${count(wished, 'session')} in a phase, ${patternOf(one)} needs ${more} sessions in all; ABAB needs ${occasionsForAssignments(1 / ALPHA, 4, wished)}`,
  };
}

function baselineDesign(
  series: readonly GolferSeries[],
  patterns: readonly string[],
  plan: Plan | null,
): Built | { readonly why: string } {
  if (patterns.some((pattern) => pattern !== 'AB'))
    return {
      why: `golfers compared together must each have one A and one B phase; they have ${patterns.join(', ')}`,
    };
  const starts = series.map((one) => runLengths(one)[0]!);
  const planned = plan?.series?.startWindows;
  const drawn = plan?.series?.golfersDrawn === true;
  const shortest = Math.min(...series.flatMap(runLengths));
  const least =
    planned === undefined ? (plan?.series?.leastSessions ?? Math.min(DEFAULT_LEAST, shortest)) : null;
  if (least !== null && shortest < least)
    return {
      why: `the plan allows no phase under ${count(least, 'session')}, and one has ${shortest}: the design that was carried out is not one that could have been drawn`,
    };
  const given: StartWindow[] =
    planned === undefined
      ? series.map(({ compared }) => [least!, compared.length - least!])
      : planned.map(([first, last]) => [first - 1, last - 1]);
  if (given.length !== series.length)
    return { why: `the plan has ${count(given.length, 'window')} for ${count(series.length, 'golfer')}` };
  const windows = drawn ? matched(starts, given) : given;
  const fits =
    windows?.every(([first, last], i) => first <= starts[i]! && starts[i]! <= last) === true &&
    given.every(([first, last]) =>
      series.every(({ compared }, i) =>
        drawn || windows[i]![0] === first ? first >= 1 && last < compared.length : true,
      ),
    );
  if (windows === null || !fits)
    return {
      why: `the B phases begin with session ${starts.map((start) => start + 1).join(', ')}, which the windows of the plan do not allow`,
    };
  return {
    design: {
      kind: 'multiple-baseline',
      series: series.map(({ compared }, i) => ({
        values: compared.map(({ mean }) => mean),
        start: starts[i]!,
      })),
      windows,
      rule: drawn ? 'drawn' : 'own',
    },
    least,
    remedy: 'more golfers, or more sessions at which the B phase could have begun',
  };
}

/** Which window each start lies in, each window once; null where that cannot be. */
function matched(starts: readonly number[], windows: readonly StartWindow[]): StartWindow[] | null {
  const taken = new Set<number>();
  const place = (i: number): StartWindow[] | null => {
    if (i === starts.length) return [];
    for (let k = 0; k < windows.length; k++) {
      const [first, last] = windows[k]!;
      if (taken.has(k) || starts[i]! < first || starts[i]! > last) continue;
      taken.add(k);
      const rest = place(i + 1);
      if (rest !== null) return [windows[k]!, ...rest];
      taken.delete(k);
    }
    return null;
  };
  return place(0);
}
