import type { Held } from '../input/choice.ts';
import { heldInSums, isSummed, type Swings } from '../input/summed-swings.ts';
import type { MechanismSwing } from '../input/swings.ts';

const TURN_OF: Partial<Record<Held, string>> = {
  'pelvis-turn': 'pelvis_turn_impact_deg',
  'thorax-turn': 'thorax_turn_impact_deg',
};

/** The value of what is held at one swing; null where it is missing. */
function heldValue(held: Held, swing: MechanismSwing): number | string | null {
  if (held === 'order') return swing.order;
  if (held === 'speed-intent') return swing.intent;
  if (held === 'club') return swing.club;
  if (held === 'phase') return swing.phase;
  if (held === 'device') return swing.device;
  return swing.values[TURN_OF[held]!] ?? null;
}

/** Whether it is known at any of these swings. */
export function isRecorded(held: Held, swings: Swings): boolean {
  if (isSummed(swings)) return heldInSums(held, swings).recorded;
  return swings.some((swing) => heldValue(held, swing) !== null);
}

/** Whether it differs between these swings, so that holding it means something; missing values do not count. */
export function differs(held: Held, swings: Swings): boolean {
  if (isSummed(swings)) return heldInSums(held, swings).differs;
  let first: number | string | null = null;
  for (const swing of swings) {
    const value = heldValue(held, swing);
    if (value === null) continue;
    if (first === null) first = value;
    else if (value !== first) return true;
  }
  return false;
}

/** The swings at which all that is held is known. */
export function withHeld(held: readonly Held[], swings: Swings): Swings {
  if (held.length === 0 || isSummed(swings)) return swings;
  return swings.filter((swing) => held.every((one) => heldValue(one, swing) !== null));
}

/** Columns of numbers that hold them: numbers as they stand, words as a 0/1 column for each level but the first. */
export function heldColumns(
  held: readonly Held[],
  swings: readonly MechanismSwing[],
): Record<string, Float64Array> {
  const columns: Record<string, Float64Array> = {};
  for (const one of held) {
    const values = swings.map((swing) => heldValue(one, swing)!);
    if (typeof values[0] === 'number') columns[one] = Float64Array.from(values as number[]);
    else
      for (const level of [...new Set(values as string[])].sort().slice(1))
        columns[`${one} ${level}`] = Float64Array.from(values, (value) => (value === level ? 1 : 0));
  }
  return columns;
}
