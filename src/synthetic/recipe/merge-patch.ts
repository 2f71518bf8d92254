/**
 * A JSON value changed by another: objects are merged key by key, null removes a key, anything else replaces.
 * Neither argument is changed.
 *
 * @see RFC 7396, JSON Merge Patch
 * @example mergePatch({ a: 1, b: { c: 2, d: 3 } }, { b: { c: null } }) // { a: 1, b: { d: 3 } }
 */
export function mergePatch(target: unknown, patch: unknown): unknown {
  if (!isObject(patch)) return patch;
  const result = new Map(isObject(target) ? Object.entries(target) : []);
  for (const [key, value] of Object.entries(patch))
    if (value === null) result.delete(key);
    else result.set(key, mergePatch(result.get(key), value));
  return Object.fromEntries(result);
}

function isObject(value: unknown): value is Record<string, unknown> {
  return value !== null && typeof value === 'object' && !Array.isArray(value);
}
