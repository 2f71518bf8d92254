import type { SmallestChange } from '../../finding.ts';
import type { Comparison } from '../input/comparison.ts';
import type { GolferCurve } from '../input/golfer-curves.ts';
import type { LaidOut } from '../input/lay-out.ts';

/** Cautions of this comparison first, then those that every page for a coach carries. */
export function curveCautions(
  comparison: Comparison,
  laid: LaidOut,
  golfers: readonly GolferCurve[],
  smallest: SmallestChange | null,
  others: readonly string[],
): string[] {
  const sizes = new Map<string, number>();
  for (const { group } of golfers) sizes.set(group, (sizes.get(group) ?? 0) + 1);
  return [
    ...(comparison.kind === 'arms-change' || comparison.kind === 'arms-after'
      ? [
          'Whether golfers were put into arms by chance is not in the data. If a coach chose who did the drill, the difference may lie in who was chosen.',
        ]
      : []),
    ...(comparison.kind === 'by-number'
      ? ['Golfers who differ in one number differ in others too; that curves go with it does not say why.']
      : []),
    'A stretch outside the windows is not shown to be the same: it is where these golfers do not tell.',
    ...(laid.axis.kind === 'registered'
      ? [
          'Curves were registered, so that a difference only in timing does not show in them; look at the timing of instants beside them.',
        ]
      : [
          'A curve that is the same but runs earlier or later shows as a difference; with instants in curve-instants.csv, size and timing can be told apart.',
        ]),
    ...(smallest?.from === 'default'
      ? [
          'The smallest difference that matters was taken from the same data, and is the same all along the downswing.',
        ]
      : []),
    ...others,
    ...([...sizes.values()].some((n) => n < 5)
      ? [
          'Fewer than 5 golfers in a group: keep this report to yourself. No group of fewer than 5 belongs in a report meant for sharing.',
        ]
      : []),
    'Associations in a roster are not proof of cause.',
    'Training load: stop at pain. Wrist, elbow and back complaints, and anything unusual in the growth of a child, belong to a licensed clinician. Hitting a hard board or mat jars the wrist, so start with a towel and short swings.',
    'Measuring people needs their consent, for a minor that of a guardian, and follows the local rules on data protection and research ethics.',
    'A comparison of instructors is not fit, by itself, for deciding pay or employment.',
  ];
}
