import { shellWord } from '../../dataset/index.ts';
import type { AngleFindingInput } from './angle-finding-input.ts';

export function commandOf({ table, published, noise_mm, row, tolerance_deg }: AngleFindingInput): string[] {
  const points = Object.entries(table.namesOf).map(([role, names]) => `${role}=${names.join('+')}`);
  return [
    'angle',
    `--definition ${table.definition}`,
    '--data POINTS',
    `--points ${shellWord(points.join(','))}`,
    ...(table.side === 'left' ? ['--side left'] : []),
    ...(table.unit?.from === 'given' ? [`--unit ${table.unit.unit}`] : []),
    ...(published === undefined ? [] : ['--published PUBLISHED']),
    ...(noise_mm === undefined ? [] : [`--noise-mm ${noise_mm}`]),
    ...(row === undefined ? [] : [`--steps ${row}`]),
    ...(tolerance_deg === undefined ? [] : [`--tolerance-deg ${tolerance_deg}`]),
  ];
}
