import { type ConsentGap, consents, type Dataset, LEAST_GROUP, SCOPES } from '../../dataset/index.ts';
import type { Fault } from '../result.ts';

/** The consent that covers handing results on. */
const COVERS = 'share';

/** Whose data may be handed on. */
export interface Sharing {
  /** Everybody in the table of golfers. */
  readonly everybody: number;
  /** Those whose consent covers it, and those whose does not, by id. */
  readonly golfers: ReadonlySet<string>;
  readonly withheld: ReadonlySet<string>;
  /** Ids that nothing in the archive may name: all of them where the data go under codes, else nobody's. */
  readonly unnamed: ReadonlySet<string>;
  /** How many are in the archive: fewer than consented where somebody would stand out. */
  readonly shown: number;
}

/** By consent_scope; a minor, or somebody whose age is not known, only where a guardian consented (consent_by). */
export function sharingOf(dataset: Dataset): Sharing {
  const [golfers, withheld] = [new Set<string>(), new Set<string>()];
  for (const { golfer, level } of consents(dataset))
    if (golfer !== '') (level >= SCOPES.indexOf(COVERS) ? golfers : withheld).add(golfer);
  const everybody = golfers.size + withheld.size;
  return { everybody, golfers, withheld, unnamed: new Set(), shown: golfers.size };
}

/** Why nothing can be handed on; null where something can. */
export function tooFew(dataset: Dataset, { golfers, everybody }: Sharing): Fault | null {
  if (golfers.size >= LEAST_GROUP) return null;
  const lacking = (Object.keys(LACKING) as ConsentGap[]).flatMap((gap) => {
    const count = consents(dataset).filter((one) => one.gap === gap).length;
    return count === 0 ? [] : [`${count} ${LACKING[gap]}`];
  });
  const narrower = consents(dataset).filter(
    ({ gap, level }) => gap === null && level < SCOPES.indexOf(COVERS),
  ).length;
  const why = [...(narrower === 0 ? [] : [`${narrower} for less than that (study or coaching)`]), ...lacking];
  return {
    where: 'golfers.csv, consent_scope',
    found: `${COVERS} for ${golfers.size} of ${everybody} golfers${why.length === 0 ? '' : `; ${why.join(', ')}`}`,
    expected: `${COVERS} for at least ${LEAST_GROUP}: what is handed on shows no smaller group`,
    remedy:
      'ask each golfer, or the guardian of a minor, whether results may be handed on without the name, and write what they answer into consent_scope and consent_by; whoever holds the data may still read the report, and may show it to those whom the consent covers. Nothing was written',
  };
}

const LACKING: Readonly<Record<ConsentGap, string>> = {
  consent: 'without consent',
  'unknown consent': 'with a consent in words that are not known',
  minor: 'minors without the consent of a guardian (consent_by)',
  'age unknown': 'of an age that is not known, and so perhaps minors, without the consent of a guardian',
};

/** Whose data these are, in sentences for the README. How many are left out is not said: it may be one. */
export function consentInWords({ shown, withheld }: Sharing): string {
  if (withheld.size === 0)
    return `All ${shown} golfers, known here by codes only, consented to results being handed on without their names (consent_scope in golfers.csv). Do not try to find out who they are, and do not hand the data on for another purpose.`;
  return `${shown} golfers, known here by codes only, consented to results being handed on without their names. No row of anybody else is in this archive, and the answer was worked out again from these ${shown} alone: it is not the answer about everybody who was measured. Do not try to find out who they are, and do not hand the data on for another purpose.`;
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
