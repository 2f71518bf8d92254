import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  bodyProblems,
  SKILLED_BODY,
  SKILLED_TIMINGS,
  type SwingBody,
  type SwingTimings,
  summarisedDownswing,
  timingProblems,
} from '../../../src/synthetic/mechanics/index.ts';

type Path = readonly (string | number)[];

function pathsOf(value: unknown, path: Path = []): Path[] {
  if (typeof value === 'number') return [path];
  return Object.entries(value as object).flatMap(([key, inner]) => pathsOf(inner, [...path, key]));
}

function changed<T>(value: T, [key, ...rest]: Path, to: (was: number) => number): T {
  if (key === undefined) return to(value as number) as T;
  if (Array.isArray(value)) return value.map((v, k) => (k === Number(key) ? changed(v, rest, to) : v)) as T;
  return { ...value, [key]: changed((value as Record<string, unknown>)[key], rest, to) };
}

const change = fc.oneof(
  fc
    .constantFrom(Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 0, -1, 1e300, 1e-300)
    .map((to) => () => to),
  fc.double({ min: -3, max: 3, noNaN: true }).map((by) => (was: number) => was * by),
);
const changes = (paths: Path[]) => fc.array(fc.tuple(fc.constantFrom(...paths), change), { maxLength: 3 });

describe('bodies and timings with wild numbers in them', () => {
  it('come back as a run of finite numbers or as a fault in words, and never throw', () => {
    const outcomes = new Map<string, number>();
    fc.assert(
      fc.property(changes(pathsOf(SKILLED_BODY)), changes(pathsOf(SKILLED_TIMINGS)), (ofBody, ofTimings) => {
        let body: SwingBody = SKILLED_BODY;
        for (const [path, to] of ofBody) body = changed(body, path, to);
        let timings: SwingTimings = SKILLED_TIMINGS;
        for (const [path, to] of ofTimings) timings = changed(timings, path, to);
        const swing = summarisedDownswing(body, timings);
        const outcome = swing.run === null ? swing.fault.kind : 'run';
        outcomes.set(outcome, (outcomes.get(outcome) ?? 0) + 1);
        if (swing.run === null) {
          expect(swing.fault.found.length).toBeGreaterThan(0);
          const problems = [...bodyProblems(body), ...timingProblems(timings)];
          expect(swing.fault.problems).toEqual(problems);
          return;
        }
        const { impact, ...rest } = swing.run;
        for (const [name, value] of [...Object.entries(impact), ...Object.entries(rest)])
          if (value !== null) expect(Number.isFinite(value), name).toBe(true);
      }),
      { numRuns: 400, seed: 17 },
    );
    for (const outcome of ['run', 'impossible-body', 'impossible-timings'])
      expect(outcomes.get(outcome) ?? 0, outcome).toBeGreaterThan(10);
  });
});
