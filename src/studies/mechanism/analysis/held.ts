import type { Held } from '../input/choice.ts';
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
export function isRecorded(held: Held, swings: readonly MechanismSwing[]): boolean {
  return swings.some((swing) => heldValue(held, swing) !== null);
}

/** Whether it differs between these swings, so that holding it means something; missing values do not count. */
export function differs(held: Held, swings: readonly MechanismSwing[]): boolean {
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
export function withHeld(
  held: readonly Held[],
  swings: readonly MechanismSwing[],
): readonly MechanismSwing[] {
  if (held.length === 0) return swings;
  return swings.filter((swing) => held.every((one) => heldValue(one, swing) !== null));
}

/** Columns and fixed terms that hold them: numbers as they stand, words as levels. */
export function heldTerms(held: readonly Held[], swings: readonly MechanismSwing[]) {
  const columns: Record<string, (number | string)[]> = {};
  const terms: { readonly column: string; readonly levels?: readonly string[] }[] = [];
  for (const one of held) {
    if (!differs(one, swings)) continue;
    const values = swings.map((swing) => heldValue(one, swing)!);
    const name = `held_${one.replaceAll('-', '_')}`;
    columns[name] = values;
    terms.push(
      typeof values[0] === 'string'
        ? { column: name, levels: [...new Set(values as string[])].sort() }
        : { column: name },
    );
  }
  return { columns, terms };
}
