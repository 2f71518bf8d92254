import type { Given } from './command.ts';
import { textOption } from './folder.ts';
import type { Fault } from './result.ts';

/** The options of these names that were typed, as numbers, and a fault for each that is none. */
export function numberOptions<Name extends string>(
  given: Given,
  names: readonly Name[],
): { readonly values: Partial<Record<Name, number>>; readonly faults: Fault[] } {
  const faults: Fault[] = [];
  const values: Partial<Record<Name, number>> = {};
  for (const name of names) {
    const text = textOption(given, name);
    if (text === undefined) continue;
    const value = text.trim() === '' ? Number.NaN : Number(text);
    if (Number.isFinite(value)) values[name] = value;
    else
      faults.push({
        where: optionName(name),
        found: `"${text}"`,
        expected: 'a number, with a point before decimals',
        remedy: 'correct it',
      });
  }
  return { values, faults };
}

/** `changeSd` as it is typed: `--change-sd`. */
export function optionName(name: string): string {
  return `--${name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)}`;
}
