import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/**
 * Absolute path of a file in the shared reference folder that stands beside a checkout, or null where it
 * is absent. Files there may be read by tests but not copied; tests skip, visibly, when this is null.
 */
export function sharedReference(path: string): string | null {
  const full = fileURLToPath(new URL(`../../../shared/reference/${path}`, import.meta.url));
  return existsSync(full) ? full : null;
}
