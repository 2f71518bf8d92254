import { readFileSync } from 'node:fs';
import {
  type DownswingCurves,
  instantCatalogue,
  measureCapture,
  metricCatalogue,
} from '../../kinematics/index.ts';
import { sha256Hex } from '../hash.ts';
import type { FolderProblem } from './folder-problem.ts';

/** What came of one capture; the same bytes, layout and version of the package always give the same. */
export type Outcome =
  | {
      readonly status: 'measured';
      readonly swing: Readonly<Record<string, number | null>>;
      readonly warnings: readonly string[];
      /** Null where there is no downswing to give them over. */
      readonly curves: DownswingCurves | null;
    }
  | { readonly status: 'failed'; readonly problems: readonly FolderProblem[] };

const { version } = JSON.parse(readFileSync(new URL('../../../package.json', import.meta.url), 'utf8')) as {
  readonly version: string;
};

/** Of how curves over the downswing are sampled. */
const CURVES_VERSION = '1.0';

/** Stands for the code and the definitions that measured: with another one, everything is measured again. */
export const MEASURED_BY = `${version} ${sha256Hex(JSON.stringify(definitionsInUse())).slice(0, 16)}`;

function definitionsInUse(): readonly (readonly string[])[] {
  const ways = instantCatalogue.flatMap(({ name, definitions }) =>
    definitions.map(({ way, version: of }) => [name, way, of]),
  );
  return [
    ...metricCatalogue.map((metric) => [metric.column, metric.version]),
    ...ways,
    ['curves', CURVES_VERSION],
  ];
}

/** The key of an outcome in the log. */
export function keyOf(fileSha256: string, layoutSha256: string): string {
  return sha256Hex(`${fileSha256} ${layoutSha256} ${MEASURED_BY}`);
}

/** Measures one capture. Never throws: a fault of ours fails this capture only, in words. */
export function measureOne(bytes: Uint8Array, file: string, layout: unknown): Outcome {
  try {
    const measured = measureCapture({
      c3dBytes: bytes,
      fileName: file,
      layout,
      options: { columnsOnly: true, curves: true },
    });
    if (!measured.ok) return { status: 'failed', problems: measured.problems };
    const { swing, warnings, curves } = measured.value;
    return { status: 'measured', swing: asKept(swing), warnings, curves: curves ?? null };
  } catch (error) {
    return { status: 'failed', problems: [ourFault(error)] };
  }
}

/** Numbers as JSON keeps them, so that what comes from the log is what was measured: no -0, no NaN, no infinity. */
function asKept(swing: Readonly<Record<string, number | null>>): Record<string, number | null> {
  const kept = ([column, value]: [string, number | null]): [string, number | null] => [
    column,
    value === null || !Number.isFinite(value) ? null : value + 0,
  ];
  return Object.fromEntries(Object.entries(swing).map(kept));
}

export function ourFault(error: unknown): FolderProblem {
  return {
    where: 'the measuring',
    found: error instanceof Error ? error.message : String(error),
    expected: 'no fault of ours',
    remedy: 'please report these words with the file; the other captures are not affected',
  };
}
