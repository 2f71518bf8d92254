/**
 * JSON that is the same bytes for the same content: keys sorted by code unit, no spaces unless asked for,
 * numbers as JavaScript writes them (shortest form that reads back the same; -0 as 0). `undefined`
 * properties are left out. With `sortKeys: false` the keys stay in the order they were given.
 *
 * @throws Error on NaN, an infinity, undefined in an array, a function or a cycle, with the path to it.
 * @example canonicalJson({ b: 1, a: [0.1, null] }) // '{"a":[0.1,null],"b":1}'
 */
export function canonicalJson(
  value: unknown,
  options: { readonly indent?: number; readonly sortKeys?: boolean } = {},
): string {
  const { indent = 0, sortKeys = true } = options;
  return JSON.stringify(canonical(value, '', sortKeys, new Set()), null, indent);
}

function canonical(value: unknown, path: string, sortKeys: boolean, above: Set<object>): unknown {
  if (value === null || typeof value === 'string' || typeof value === 'boolean') return value;
  if (typeof value === 'number') {
    if (!Number.isFinite(value)) throw refusal(path, String(value), 'Use null for a missing number.');
    return Object.is(value, -0) ? 0 : value;
  }
  if (typeof value !== 'object')
    throw refusal(
      path,
      typeof value,
      'Only objects, arrays, texts, numbers, true, false and null can be kept.',
    );
  if (above.has(value)) throw refusal(path, 'a cycle', 'Break the cycle.');
  above.add(value);
  const result = isList(value)
    ? Array.from(value, (item, index) => canonical(item, `${path}/${index}`, sortKeys, above))
    : canonicalObject(value as Record<string, unknown>, path, sortKeys, above);
  above.delete(value);
  return result;
}

function isList(value: object): value is ArrayLike<unknown> & object {
  return Array.isArray(value) || (ArrayBuffer.isView(value) && !(value instanceof DataView));
}

function canonicalObject(
  value: Record<string, unknown>,
  path: string,
  sortKeys: boolean,
  above: Set<object>,
): Record<string, unknown> {
  const keys = Object.keys(value).filter((key) => value[key] !== undefined);
  if (sortKeys) keys.sort((a, b) => (a < b ? -1 : 1));
  // Without a prototype, a key such as __proto__ is a key like any other.
  const result: Record<string, unknown> = Object.create(null);
  for (const key of keys) result[key] = canonical(value[key], `${path}/${key}`, sortKeys, above);
  return result;
}

function refusal(path: string, found: string, remedy: string): Error {
  return new Error(`canonicalJson: ${path || '/'} is ${found}, which JSON cannot hold. ${remedy}`);
}
