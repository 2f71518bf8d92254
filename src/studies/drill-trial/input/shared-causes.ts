import { list } from '../../shared/words.ts';
import { type Design, roleOf } from './design.ts';
import type { SwingGroup, TrialSession } from './trial-data.ts';

type Circumstance = 'instructor' | 'device' | 'surface';

const SAYS: Readonly<Record<Circumstance, { readonly arms: string; readonly phases: string }>> = {
  instructor: {
    arms: 'had different instructors, so the drill and the instructor cannot be told apart',
    phases: 'were with different instructors, so a change may be the instructor',
  },
  device: {
    arms: 'were measured with different devices, so the drill and the device cannot be told apart',
    phases: 'were measured with different devices, so a change may be the device',
  },
  surface: {
    arms: 'were measured on different surfaces, so the drill and the surface cannot be told apart',
    phases: 'were measured on different surfaces, so a change may be the surface',
  },
};

/**
 * What else differs as the arms do, or as before and after do: an instructor, device or surface that is wholly one
 * side's. Such a difference explains the answer as well as the drill does, and no analysis can separate them.
 */
export function sharedCauses(
  rows: readonly SwingGroup[],
  sessions: readonly TrialSession[],
  design: Design,
): string[] {
  const sessionOf = new Map(sessions.map((session) => [session.session, session]));
  const compared = rows.filter(
    (row) => row.task === 'full' && (row.phase === 'baseline' || row.phase === 'post'),
  );
  const values = (circumstance: Circumstance, keep: (row: SwingGroup) => boolean) =>
    new Set(compared.filter(keep).flatMap((row) => sessionOf.get(row.session)?.[circumstance] ?? []));
  return (['instructor', 'device', 'surface'] as const).flatMap((circumstance) => {
    const drill = values(circumstance, (row) => roleOf(design, row.arm) === 'drill');
    const control = values(circumstance, (row) => roleOf(design, row.arm) === 'control');
    const before = values(circumstance, (row) => row.phase === 'baseline');
    const after = values(circumstance, (row) => row.phase === 'post');
    return [
      ...(disjoint(drill, control)
        ? [
            `Golfers with and without the drill ${SAYS[circumstance].arms} (${named(drill)}; ${named(control)}).`,
          ]
        : []),
      ...(disjoint(before, after)
        ? [`The sessions before and after ${SAYS[circumstance].phases} (${named(before)}; ${named(after)}).`]
        : []),
    ];
  });
}

function disjoint(a: ReadonlySet<string>, b: ReadonlySet<string>): boolean {
  return a.size > 0 && b.size > 0 && ![...a].some((value) => b.has(value));
}

function named(values: ReadonlySet<string>): string {
  return list([...values].sort());
}
