import { basename } from 'node:path';
import { checkLayout } from '../../kinematics/index.ts';
import { sha256Hex } from '../hash.ts';
import { readTypedJson } from '../read/json-typed.ts';
import { readRegularFile } from '../read-regular-file.ts';
import type { FolderProblem } from './folder-problem.ts';

/** A layout file that was read and checked. */
export interface UsedLayout {
  readonly value: unknown;
  readonly bytes: Uint8Array;
  readonly sha256: string;
  /** Where its copy stands in the dataset. */
  readonly copy: string;
}

/** Reads every layout once; all that is wrong with any of them comes back together. */
export async function readLayouts(paths: Iterable<string>): Promise<{
  readonly layouts: ReadonlyMap<string, UsedLayout>;
  readonly problems: readonly FolderProblem[];
}> {
  const layouts = new Map<string, UsedLayout>();
  const problems: FolderProblem[] = [];
  for (const path of new Set(paths)) {
    const read = await readLayout(path);
    if ('problems' in read) problems.push(...read.problems);
    else layouts.set(path, read);
  }
  return { layouts, problems };
}

async function readLayout(
  path: string,
): Promise<UsedLayout | { readonly problems: readonly FolderProblem[] }> {
  const fault = (found: string, expected: string, remedy: string) => ({
    problems: [{ where: `layout ${path}`, found, expected, remedy }],
  });
  let bytes: Uint8Array;
  try {
    bytes = await readRegularFile(path);
  } catch {
    return fault('no file that can be read', 'a layout file (JSON)', 'check the spelling of its path');
  }
  const read = readTypedJson(bytes);
  if (!read.ok)
    return fault(
      read.found,
      'a JSON document',
      'look at the place named, and just before it, for a missing comma, quote or bracket',
    );
  const { value } = read;
  const checked = checkLayout(value);
  if (!checked.ok)
    return {
      problems: checked.problems.map((problem) => ({ ...problem, where: `${path}: ${problem.where}` })),
    };
  const sha256 = sha256Hex(bytes);
  return { value, bytes, sha256, copy: `layouts/${sha256.slice(0, 8)}-${basename(path)}` };
}
