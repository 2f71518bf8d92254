import type { Finding, OneGolferTables } from '../../studies/index.ts';
import type { Figure } from '../figure.ts';
import { chartFigures } from './chart-figure.ts';
import { drawFigure } from './draw-figure.ts';

/**
 * The figures of a study of one golfer in the order of the page: charts, then the draw.
 *
 * @example
 * const outcome = oneGolfer(dataset, { golfers: ['G01'], metric: 'shaft_lean_impact_deg' });
 * outcome.ok && oneGolferFigures(outcome.finding).every(({ title }) => findingPage(outcome.finding).includes(title)) // true
 */
export function oneGolferFigures(finding: Finding<OneGolferTables>): Figure[] {
  const draw = drawFigure(finding);
  return [...chartFigures(finding), ...(draw === null ? [] : [draw])];
}
