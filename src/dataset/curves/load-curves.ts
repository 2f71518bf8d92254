import { realpath } from 'node:fs/promises';
import { sha256Hex } from '../hash.ts';
import { codeOf } from '../new-files.ts';
import type { Checked, Problem } from '../problem.ts';
import { cannotBeRead, faultOf, fileInside } from '../read/inside.ts';
import { readRegularFile } from '../read-regular-file.ts';
import { CURVE_INSTANTS_FILE, CURVES_FILE, type CurveSet } from './curve-set.ts';
import { readCurveInstants } from './read-curve-instants.ts';
import { readCurves } from './read-curves.ts';

/**
 * Reads the curves beside the tables of a folder, and the instants where they are there. Where there are no curves the
 * value is null. Nothing is changed; all problems come at once.
 *
 * @example
 * const loaded = await loadCurves('my-roster');
 * loaded.valid && loaded.value // null: there is no curves.csv
 */
export async function loadCurves(folder: string): Promise<Checked<CurveSet | null>> {
  const files = await Promise.all([CURVES_FILE, CURVE_INSTANTS_FILE].map((file) => bytesOf(folder, file)));
  const problems = files.flatMap((file) => ('problem' in file ? [file.problem] : []));
  const [curveBytes, instantBytes] = files.map((file) => ('bytes' in file ? file.bytes : null));
  const curves = curveBytes ? readCurves(curveBytes) : null;
  const instants = instantBytes ? readCurveInstants(instantBytes) : null;
  for (const read of [curves, instants]) if (read !== null && !read.ok) problems.push(...read.problems);
  if (problems.length > 0) return { valid: false, problems };
  if (!curves?.ok || !curveBytes) return { valid: true, value: null, problems: [] };
  return {
    valid: true,
    value: {
      curves: curves.curves,
      instants: instants?.ok ? instants.instants : new Map(),
      files: [
        { file: CURVES_FILE, sha256: sha256Hex(curveBytes) },
        ...(instantBytes ? [{ file: CURVE_INSTANTS_FILE, sha256: sha256Hex(instantBytes) }] : []),
      ],
    },
    problems: [],
  };
}

/** The bytes, null where there is no such file, or why it cannot be read. */
async function bytesOf(
  folder: string,
  file: string,
): Promise<{ readonly bytes: Uint8Array | null } | { readonly problem: Problem }> {
  try {
    const found = await fileInside(await realpath(folder), file);
    if ('fault' in found) return { problem: faultOf(file, found.fault) };
    return { bytes: 'absent' in found ? null : await readRegularFile(found.path) };
  } catch (error) {
    if (codeOf(error) === 'ENOENT') return { bytes: null };
    return { problem: faultOf(file, cannotBeRead(file)) };
  }
}
