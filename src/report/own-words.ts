import type { Finding } from '../studies/index.ts';

/** Fields that hold a name as it was typed, and nothing else. */
const typedFields: ReadonlySet<string> = new Set(
  'arm club device drill first golfer group id ids instructor second session stratum surface swing'.split(
    ' ',
  ),
);
/** Fields that a program reads: hashes, columns, models, units, which have a rule of their own. */
const machineFields: ReadonlySet<string> = new Set(['column', 'key', 'model', 'provenance', 'study', 'unit']);

const degrees = /(\d) deg\b/g;

/**
 * The Finding with degrees by their sign in our own sentences. What a person typed, a name of an arm or a golfer within
 * a sentence too, stays letter for letter.
 * @example degreesBySign(finding).answer // 'Shaft lean at impact ended 2.2° further forward …'
 */
export function degreesBySign(finding: Finding): Finding {
  const { planned, smallestChange } = finding;
  const names = typedNames(finding);
  const ownWords = (text: string): string => outside(names, text, (own) => own.replace(degrees, '$1°'));
  const walk = (value: unknown): unknown => {
    if (typeof value === 'string') return ownWords(value);
    if (Array.isArray(value)) return value.map(walk);
    if (value === null || typeof value !== 'object') return value;
    return Object.fromEntries(
      Object.entries(value).map(([field, inner]) => [
        field,
        typedFields.has(field) || machineFields.has(field) ? inner : walk(inner),
      ]),
    );
  };
  const fromPlan = planned.planned || (planned.timing !== undefined && planned.timing !== 'no-plan');
  return {
    ...(walk(finding) as Finding),
    ...(fromPlan ? { question: finding.question } : {}),
    ...(smallestChange?.from === 'plan' ? { smallestChange } : {}),
    model: { ...finding.model, words: ownWords(finding.model.words) },
  };
}

/** The names anywhere in the Finding that the rule would touch, the longest first. */
function typedNames(finding: Finding): readonly string[] {
  const names = new Set<string>();
  const collect = (value: unknown, typed: boolean): void => {
    if (typeof value === 'string') {
      if (typed && value.search(degrees) >= 0) names.add(value);
    } else if (Array.isArray(value)) for (const inner of value) collect(inner, typed);
    else if (value !== null && typeof value === 'object')
      for (const [field, inner] of Object.entries(value)) collect(inner, typedFields.has(field));
  };
  collect([finding.tables, finding.design, finding.leftOut], false);
  return [...names].sort((a, b) => b.length - a.length);
}

/** The text with `rule` applied to every piece that is none of the names. */
function outside(names: readonly string[], text: string, rule: (own: string) => string): string {
  const [name, ...others] = names;
  if (name === undefined) return rule(text);
  return text
    .split(name)
    .map((piece) => outside(others, piece, rule))
    .join(name);
}
