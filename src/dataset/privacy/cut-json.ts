const GONE = Symbol('gone');

/**
 * A JSON value without what mentions a golfer: the innermost entry of a list in which a mention stands goes, and outside
 * of lists the property; a property whose name is a mention goes with all it holds.
 *
 * @returns the value, `undefined` when nothing of it stays, and how many entries and properties went
 */
export function cutJson(
  value: unknown,
  mentions: (text: string) => boolean,
): { readonly value: unknown; readonly cut: number } {
  let cut = 0;
  const visit = (node: unknown, isEntry: boolean): unknown => {
    if (typeof node === 'string') return mentions(node) ? GONE : node;
    if (Array.isArray(node))
      return node.flatMap((entry) => {
        const kept = visit(entry, true);
        if (kept !== GONE) return [kept];
        cut += 1;
        return [];
      });
    if (typeof node !== 'object' || node === null) return node;
    // Without a prototype, a property such as __proto__ is one like any other.
    const result: Record<string, unknown> = Object.create(null);
    for (const [name, property] of Object.entries(node)) {
      const kept = mentions(name) ? GONE : visit(property, false);
      if (kept !== GONE) result[name] = kept;
      else if (isEntry && !mentions(name)) return GONE;
      else cut += 1;
    }
    return result;
  };
  const kept = visit(value, false);
  return kept === GONE ? { value: undefined, cut: 1 } : { value: kept, cut };
}
