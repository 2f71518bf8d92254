import { canonicalJson } from '../canonical-json.ts';
import { sha256Hex } from '../hash.ts';

/** Tables are long; each counts as one field, and its rows have hashes of their own. */
const WHOLE = /^\/data\/(tables|files)\/[^/]+$/;

/**
 * The SHA-256 of each value inside a JSON value by its path (JSON Pointer, RFC 6901), so that an edit can be named.
 * An empty object or list counts as a value.
 *
 * @example Object.keys(fieldHashes({ a: { b: 1 }, c: [2] })) // ['/a/b', '/c/0']
 */
export function fieldHashes(value: unknown): Record<string, string> {
  const found: [string, string][] = [];
  const walk = (at: unknown, path: string) => {
    const entries = typeof at === 'object' && at !== null ? Object.entries(at) : [];
    if (entries.length === 0 || WHOLE.test(path)) found.push([path, sha256Hex(canonicalJson(at))]);
    else
      for (const [key, inner] of entries)
        if (inner !== undefined) walk(inner, `${path}/${key.replaceAll('~', '~0').replaceAll('/', '~1')}`);
  };
  walk(value, '');
  return Object.fromEntries(found);
}
