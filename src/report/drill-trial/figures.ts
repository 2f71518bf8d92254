import type { DrillTrialTables, Finding } from '../../studies/index.ts';
import type { Figure } from '../figure.ts';
import { doseFigure } from './dose-figure.ts';
import { estimateFigure } from './estimate-figure.ts';
import { golferFigures } from './golfer-figure.ts';
import { groupFigure } from './group-figure.ts';
import { multiplesFigures } from './multiples-figure.ts';

/** The figures of a drill trial, by what they show; null or none where the data cannot fill them. */
export interface DrillTrialFigures {
  readonly estimate: Figure;
  readonly golfers: readonly Figure[];
  readonly panels: readonly Figure[];
  readonly groups: Figure | null;
  readonly dose: Figure | null;
}

export function drillTrialFigures(finding: Finding<DrillTrialTables>): DrillTrialFigures {
  return {
    estimate: estimateFigure(finding),
    golfers: golferFigures(finding),
    panels: multiplesFigures(finding),
    groups: groupFigure(finding),
    dose: doseFigure(finding),
  };
}

/**
 * The figures of a finding on a drill as a list, in the order of the page.
 * @example drillTrialFigureList(finding).every(({ title }) => findingPage(finding).includes(title)) // true
 */
export function drillTrialFigureList(finding: Finding<DrillTrialTables>): Figure[] {
  const { estimate, golfers, panels, groups, dose } = drillTrialFigures(finding);
  return [estimate, ...golfers, ...panels, groups, dose].filter((figure) => figure !== null);
}
