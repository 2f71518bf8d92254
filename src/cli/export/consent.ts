import type { Dataset } from '../../dataset/index.ts';
import type { Fault } from '../result.ts';

/** The value of consent_scope that covers handing results on. */
const COVERS = 'share';
/** No group smaller than this is shown to others: in a smaller one a golfer could be guessed. */
export const SMALLEST_GROUP = 5;

/** Whose data may be handed on, by the consent_scope of golfers.csv. An empty cell covers nothing. */
export interface Sharing {
  readonly golfers: ReadonlySet<string>;
  readonly withheld: ReadonlySet<string>;
}

export function sharingOf({ tables }: Dataset): Sharing {
  const ids = tables.golfers.column('golfer_id');
  const scopes = tables.golfers.column('consent_scope');
  const golfers = new Set<string>();
  const withheld = new Set<string>();
  ids.forEach((id, row) => {
    if (id !== null) (scopes[row] === COVERS ? golfers : withheld).add(id);
  });
  return { golfers, withheld };
}

/** Why nothing can be handed on; null where something can. */
export function tooFew({ golfers, withheld }: Sharing): Fault | null {
  if (golfers.size >= SMALLEST_GROUP) return null;
  return {
    where: 'golfers.csv, consent_scope',
    found: `${COVERS} for ${golfers.size} of ${golfers.size + withheld.size} golfers`,
    expected: `${COVERS} for at least ${SMALLEST_GROUP}: what is handed on shows no smaller group`,
    remedy:
      'ask each golfer, or the guardian of a minor, whether results may be handed on without the name, and write down what they answer; nothing was written',
  };
}

/** Whose data these are, in sentences for the README. */
export function consentInWords({ golfers, withheld }: Sharing): string {
  if (withheld.size === 0)
    return `All ${golfers.size} golfers, known here by codes only, consented to results being handed on without their names (consent_scope in golfers.csv). Do not try to find out who they are, and do not hand the data on for another purpose.`;
  return `${golfers.size} of ${golfers.size + withheld.size} golfers, known here by codes only, consented to results being handed on without their names (consent_scope in golfers.csv). No row of the other ${withheld.size} is in this archive, and the answer was worked out again from the ${golfers.size} alone: it is not the answer about all of them. Do not try to find out who they are, and do not hand the data on for another purpose.`;
}

/** The ids that a text names as a word of its own. */
export function namedIn(text: string, ids: ReadonlySet<string>): string[] {
  return [...ids].filter((id) => {
    for (let at = text.indexOf(id); at >= 0; at = text.indexOf(id, at + 1))
      if (!isOfWord(text[at - 1]) && !isOfWord(text[at + id.length])) return true;
    return false;
  });
}

function isOfWord(sign: string | undefined): boolean {
  return sign !== undefined && /[\p{L}\p{N}_]/u.test(sign);
}
