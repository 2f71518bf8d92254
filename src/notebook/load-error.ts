import type { CellError, ChildOrder } from './child-events.ts';
import { describeError } from './describe-error.ts';
import { PROBE } from './loader-hooks.ts';

/** Why a notebook's module could not be loaded, and by which of its imports. */
export interface FailingImport {
  readonly error: unknown;
  /** Null where no import is to blame. */
  readonly specifier: string | null;
  readonly line: number | null;
  readonly cell: number | null;
}

/**
 * Finds the import that kept a notebook from loading, by the error's words or by trying each import by itself:
 * imports all run before the first cell, so nothing else tells where the fault lies.
 */
export async function findFailingImport(error: unknown, order: ChildOrder): Promise<FailingImport> {
  const named = /requested module '([^']+)' does not provide/.exec(
    error instanceof Error ? error.message : '',
  )?.[1];
  const byName = order.imports.find((entry) => entry.specifier === named);
  if (byName !== undefined) return { error, ...byName };
  for (const [i, entry] of order.imports.entries()) {
    try {
      await import(order.url + PROBE + i);
    } catch (cause) {
      return { error: cause, ...entry };
    }
  }
  return { error, specifier: null, line: null, cell: null };
}

/** The fault in words: a module that is not there, a name it does not have, or an error within it. */
export function describeLoadError({ error, specifier, line }: FailingImport, url: string): CellError {
  const described = describeError(error, url, line);
  const code = (error as { code?: unknown } | null)?.code;
  if (specifier === null) return described;
  if (code === 'ERR_MODULE_NOT_FOUND' || code === 'ERR_UNSUPPORTED_DIR_IMPORT')
    return {
      name: 'Import',
      message: `cannot find the module "${specifier}": check its spelling, or install it where the notebook stands`,
      line,
      trail: [],
    };
  return { ...described, message: `in the module "${specifier}": ${described.message}`, line, trail: [] };
}
