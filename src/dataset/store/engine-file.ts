import { copyFile, symlink } from 'node:fs/promises';
import { join } from 'node:path';
import { codeOf } from '../new-files.ts';
import type { SqlEngine } from '../sums/sql-engine.ts';

const counts = new WeakMap<SqlEngine, number>();

/**
 * A name under which the engine can read a file: it takes *, ?, brackets and braces in a name for a pattern, and some
 * beginnings of names for places on a network, so a file gets a plain name in the engine's own folder.
 */
export async function engineName(
  engine: SqlEngine,
  path: string,
  ending: 'csv' | 'parquet',
): Promise<string> {
  const count = (counts.get(engine) ?? 0) + 1;
  counts.set(engine, count);
  const name = join(engine.folder, `${count}.${ending}`);
  try {
    await symlink(path, name);
  } catch (error) {
    // Some systems let only administrators make links.
    if (codeOf(error) !== 'EPERM') throw error;
    await copyFile(path, name);
  }
  return name;
}

/** The first line of what the engine says of a fault. */
export function engineWords(error: unknown): string {
  return (error instanceof Error ? error.message : String(error)).split('\n')[0]!;
}
