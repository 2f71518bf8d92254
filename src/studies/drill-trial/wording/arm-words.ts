/** How the arms of a trial are spoken of. */

/** How a control arm is spoken of. */
export function controlWords(arm: string): string {
  if (/^usual[ _-]coaching$/i.test(arm)) return 'usual coaching';
  if (/usual/i.test(arm)) return 'usual practice';
  if (/^(control|controls|cont)$/i.test(arm)) return 'the control';
  return `'${arm}'`;
}

/** The golfers of a control arm. */
export function controlGroupWords(arm: string): string {
  const words = controlWords(arm);
  if (words === 'the control') return 'the control group';
  return words.startsWith("'") ? `the golfers in ${words}` : `golfers on ${words}`;
}

/** How an arm under test is spoken of: by name only when there are several. */
export function drillWords(arm: string, drills: readonly string[]): string {
  return drills.length < 2 ? 'the drill' : `'${arm}'`;
}
