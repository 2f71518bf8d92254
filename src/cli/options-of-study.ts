import type { Fault } from './result.ts';

/** The options of `ask` that belong to one study alone: given to another, they would be passed over in silence. */
const OWN = {
  golfer: 'one-golfer',
  against: 'noise',
  change: 'noise',
  predictor: 'mechanism',
  mediator: 'mechanism',
  compare: 'waveform',
  by: 'waveform',
  axis: 'waveform',
} as const;

/** What is wrong with the options as typed for this study: each that belongs to another, and a size that is none. */
export function optionFaults(
  study: string,
  typed: { readonly [name in keyof typeof OWN]?: string | undefined },
): Fault[] {
  const names = Object.keys(OWN) as (keyof typeof OWN)[];
  const strange = names.filter((name) => typed[name] !== undefined && OWN[name] !== study);
  return [
    ...strange.map((name) => ({
      where: `--${name}`,
      found: `with ${study}`,
      expected: `--${name} with ${OWN[name]}`,
      remedy: `leave --${name} out, or ask ${OWN[name]}`,
    })),
    ...(study === 'noise' && typed.change !== undefined && !(Number(typed.change) > 0)
      ? [
          {
            where: '--change',
            found: `"${typed.change}"`,
            expected: 'a number above 0, in the unit of the metric, with a point before decimals',
            remedy: 'write the number alone, such as 1.5',
          },
        ]
      : []),
  ];
}
