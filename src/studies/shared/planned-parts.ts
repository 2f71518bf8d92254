import type { PlannedPart } from '../finding.ts';

/** A part done as the plan says. */
export function asPlanned(part: string, words = ''): PlannedPart {
  return { part, state: 'as-planned', words };
}

/** A part the plan says nothing of; `words` say what was done. */
export function leftOpen(part: string, words: string): PlannedPart {
  return { part, state: 'exploratory', words: `The plan leaves this open: ${words}.` };
}

/** A part done otherwise than the plan says. */
export function changed(part: string, words: string): PlannedPart {
  return { part, state: 'changed', words };
}

/** A choice of the study set against the plan's: `as planned`, `changed` from what to what, or left open. */
export function comparedPart(
  part: string,
  planned: string | number | undefined,
  done: string | number,
  unplannedWords = `${done} was taken, the study's stated default`,
): PlannedPart {
  if (planned === undefined) return leftOpen(part, unplannedWords);
  return planned === done
    ? asPlanned(part, `${done}.`)
    : changed(part, `The plan says ${planned}; the answer takes ${done}.`);
}
