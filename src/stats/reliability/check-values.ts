/** @throws Error named after `who` for a value that is not finite, or a level outside (0, 1) */
export function checkValues(who: string, values: readonly number[], level: number): void {
  if (!values.every(Number.isFinite)) throw new Error(`${who}: every value must be a finite number`);
  if (!(level > 0 && level < 1))
    throw new Error(`${who}: the level must lie between 0 and 1; found ${level}`);
}
