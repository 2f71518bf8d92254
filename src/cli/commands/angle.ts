import { ANGLE_ROLES, type AngleSeries, angleSeries } from '../../kinematics/index.ts';
import type { Given } from '../command.ts';
import { readNamedFile } from '../files.ts';
import { textOption } from '../folder.ts';
import type { Progress } from '../progress.ts';
import { type CommandResult, type Fault, good, refused } from '../result.ts';

export async function run(given: Given, progress: Progress): Promise<CommandResult> {
  const points = parsePoints(textOption(given, 'points') ?? '');
  const side = textOption(given, 'side') ?? 'right';
  const data = await readNamedFile('--data', textOption(given, 'data') ?? '');
  const faults = [...points.faults, ...sideFaults(side), ...(data.ok ? [] : data.faults)];
  if (!data.ok || faults.length > 0) return refused(2, faults);
  progress.step('Computing');
  const computed = angleSeries({
    definition: textOption(given, 'definition') ?? '',
    csvBytes: data.value,
    points: points.byRole,
    side: side === 'left' ? 'left' : 'right',
  });
  if (!computed.ok) return refused(2, computed.problems);
  return good(computed.value, inWords(computed.value), computed.value.warnings);
}

/** ROLE=NAME,ROLE=NAME as typed; a part without a role or a name is a fault. */
function parsePoints(typed: string): { byRole: Record<string, string>; faults: Fault[] } {
  const faults: Fault[] = [];
  const entries: [string, string][] = [];
  for (const part of typed.split(',')) {
    const cut = part.indexOf('=');
    const [role, name] = [part.slice(0, cut).trim(), part.slice(cut + 1).trim()];
    if (cut > 0 && name !== '') entries.push([role, name]);
    else
      faults.push({
        where: '--points',
        found: `"${part}"`,
        expected: `ROLE=NAME, the roles being ${Object.entries(ANGLE_ROLES)
          .map(([definition, roles]) => `${roles.join(', ')} for ${definition}`)
          .join('; ')}`,
        remedy: 'name the point of each role, with commas between them and no spaces',
      });
  }
  return { byRole: Object.fromEntries(entries), faults };
}

function sideFaults(side: string): Fault[] {
  if (side === 'right' || side === 'left') return [];
  return [
    {
      where: '--side',
      found: `"${side}"`,
      expected: 'right or left',
      remedy: 'name the arm that was measured',
    },
  ];
}

function inWords({ definition, series }: AngleSeries): string {
  return [
    `${definition}, degrees, row by row:`,
    ...series.map(({ row, ...angles }) =>
      [
        `  row ${row}:`,
        Object.entries(angles)
          .map(
            ([name, value]) => `${name.replace('_deg', '')} ${value === null ? 'missing' : value.toFixed(3)}`,
          )
          .join(', '),
      ].join(' '),
    ),
  ].join('\n');
}
