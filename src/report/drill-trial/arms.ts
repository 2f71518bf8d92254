import type { Finding } from '../../studies/index.ts';
import { shortLabel } from '../escape.ts';
import type { PointSymbol } from '../figure.ts';
import { colour } from '../palette.ts';

/** How an arm is drawn: a colour and a shape of its own, so that neither is needed alone. */
export interface ArmStyle {
  readonly arm: string;
  readonly role: 'drill' | 'control';
  /** For labels; at most 26 characters. */
  readonly label: string;
  readonly color: string;
  readonly symbol: PointSymbol;
  readonly open: PointSymbol;
}

const looks = {
  drill: { color: colour.drill, symbol: 'circle', open: 'circle-open' },
  control: { color: colour.control, symbol: 'square', open: 'square-open' },
  third: { color: colour.third, symbol: 'diamond', open: 'circle-open' },
  fourth: { color: colour.fourth, symbol: 'triangle-up', open: 'square-open' },
} as const;

/**
 * The arms in the order drill then control, each with its look. A second drill or control arm takes the third
 * and fourth look in turn.
 */
export function armStyles(finding: Finding): ArmStyle[] {
  const { arms } = finding.design;
  const ordered = [
    ...arms.filter(({ role }) => role === 'drill'),
    ...arms.filter(({ role }) => role === 'control'),
  ];
  const taken = new Set<string>();
  let spare = 0;
  return ordered.map(({ arm, role }) => {
    const look = taken.has(role) ? (spare++ % 2 === 0 ? looks.third : looks.fourth) : looks[role];
    taken.add(role);
    return { arm, role, label: shortLabel(arm, 26), ...look };
  });
}
