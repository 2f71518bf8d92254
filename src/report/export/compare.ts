/** One place in which two documents differ. */
export interface Difference {
  /** Where, in words of the document itself: `estimates[drill effect at post].value`. */
  readonly path: string;
  readonly kind: 'number' | 'words' | 'gone' | 'new';
  readonly was: unknown;
  readonly now: unknown;
  /** How far a number moved, now less then; null where that is not a number. */
  readonly by: number | null;
}

/** What tells the elements of a list apart, the first that all of them have. */
const NAMES = ['name', 'key', 'file', 'metric', 'id', 'golfer', 'part', 'arm'] as const;
/** A number within a text: not a part of a word, such as a code or a hash. */
const NUMBER = /(?<![\w.])[-−]?\d+(?:,\d{3})*(?:\.\d+)?(?:e[-+]?\d+)?(?!\w)/g;

/**
 * Where two JSON documents differ, in the order of the first: each number that moved and by how much, each text that
 * reads otherwise, what is gone and what is new. Texts that differ in their numbers alone are told number by number.
 * Elements of lists are matched by name where they have names that differ, else by place.
 *
 * @example compareDocuments({ mean: 2 }, { mean: 2.5 })
 * // [{ path: 'mean', kind: 'number', was: 2, now: 2.5, by: 0.5 }]
 */
export function compareDocuments(was: unknown, now: unknown, path = ''): Difference[] {
  if (Object.is(was, now)) return [];
  if (Array.isArray(was) && Array.isArray(now)) return compareLists(was, now, path);
  if (isRecord(was) && isRecord(now)) return compareRecords(was, now, path);
  if (typeof was === 'number' && typeof now === 'number')
    return was === now ? [] : [{ path, kind: 'number', was, now, by: now - was }];
  if (typeof was === 'string' && typeof now === 'string') return compareTexts(was, now, path);
  // A number that could be worked out and cannot any more, or the other way round, has moved too.
  const isNumber = [was, now].every((value) => typeof value === 'number' || value === null);
  return [{ path, kind: isNumber ? 'number' : 'words', was, now, by: null }];
}

function compareRecords(
  was: Readonly<Record<string, unknown>>,
  now: Readonly<Record<string, unknown>>,
  path: string,
): Difference[] {
  const keys = [...new Set([...Object.keys(was), ...Object.keys(now)])];
  return keys.flatMap((key) =>
    compareEntries(
      Object.hasOwn(was, key) ? { value: was[key] } : null,
      Object.hasOwn(now, key) ? { value: now[key] } : null,
      path === '' ? key : `${path}.${key}`,
    ),
  );
}

function compareLists(was: readonly unknown[], now: readonly unknown[], path: string): Difference[] {
  const name = NAMES.find((key) => tellsApart(was, key) && tellsApart(now, key));
  if (name === undefined) {
    const places = Array.from({ length: Math.max(was.length, now.length) }, (_, place) => place);
    return places.flatMap((place) =>
      compareEntries(
        place < was.length ? { value: was[place] } : null,
        place < now.length ? { value: now[place] } : null,
        `${path}[${place}]`,
      ),
    );
  }
  const nameOf = (value: unknown): string => String((value as Record<string, unknown>)[name]);
  const [before, after] = [was, now].map((list) => new Map(list.map((value) => [nameOf(value), value])));
  const names = [...new Set([...before!.keys(), ...after!.keys()])];
  const found = names.flatMap((own) =>
    compareEntries(
      before!.has(own) ? { value: before!.get(own) } : null,
      after!.has(own) ? { value: after!.get(own) } : null,
      `${path}[${own}]`,
    ),
  );
  const order = (list: ReadonlyMap<string, unknown>): string => [...list.keys()].join(', ');
  return found.length > 0 || order(before!) === order(after!)
    ? found
    : [{ path: `${path}, order`, kind: 'words', was: order(before!), now: order(after!), by: null }];
}

function compareEntries(
  was: { readonly value: unknown } | null,
  now: { readonly value: unknown } | null,
  path: string,
): Difference[] {
  if (was === null) return [{ path, kind: 'new', was: null, now: now?.value ?? null, by: null }];
  if (now === null) return [{ path, kind: 'gone', was: was.value, now: null, by: null }];
  return compareDocuments(was.value, now.value, path);
}

/** Texts of the same words whose numbers differ are told number by number, others as a whole. */
function compareTexts(was: string, now: string, path: string): Difference[] {
  const [before, after] = [was.match(NUMBER) ?? [], now.match(NUMBER) ?? []];
  if (before.length === 0 || was.replaceAll(NUMBER, '#') !== now.replaceAll(NUMBER, '#'))
    return [{ path, kind: 'words', was, now, by: null }];
  return before.flatMap((text, place) => {
    const other = after[place] ?? '';
    if (text === other) return [];
    const by = numberOf(other) - numberOf(text);
    return [
      { path: `${path}, number ${place + 1} in the text`, kind: 'number', was: text, now: other, by },
    ] as const;
  });
}

function numberOf(text: string): number {
  return Number(text.replaceAll(',', '').replace('−', '-'));
}

function tellsApart(list: readonly unknown[], key: string): boolean {
  const names = list.map((value) => (isRecord(value) ? value[key] : undefined));
  return (
    list.length > 0 &&
    names.every((name) => typeof name === 'string' && name !== '') &&
    new Set(names).size === names.length
  );
}

function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
