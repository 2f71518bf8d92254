import type { Finding, PlanTables } from '../../studies/index.ts';
import type { FigureTable } from '../figure.ts';

/** The grid of designs as a table; chances in per cent. */
export function gridTable({ tables, metric }: Finding<PlanTables>): FigureTable {
  return {
    columns: [
      { key: 'golfers', label: 'Golfers' },
      { key: 'sessions', label: 'Sessions in a phase' },
      { key: 'swings', label: 'Swings in a session' },
      { key: 'meaningful', label: 'A change that matters, if the effect is there', unit: '%' },
      { key: 'meaningful_low', label: 'from', unit: '%' },
      { key: 'meaningful_high', label: 'to', unit: '%' },
      { key: 'too_small', label: 'Too small to matter, if there is none', unit: '%' },
      { key: 'too_small_low', label: 'from', unit: '%' },
      { key: 'too_small_high', label: 'to', unit: '%' },
      { key: 'detectable', label: 'Smallest effect with the wished chance', unit: metric.unit },
      { key: 'failed', label: 'Failed fits' },
    ],
    rows: tables.grid.map((cell) => ({
      golfers: cell.golfers,
      sessions: cell.sessions,
      swings: cell.swings,
      meaningful: 100 * cell.meaningful,
      meaningful_low: 100 * cell.meaningfulInterval[0],
      meaningful_high: 100 * cell.meaningfulInterval[1],
      too_small: 100 * cell.tooSmall,
      too_small_low: 100 * cell.tooSmallInterval[0],
      too_small_high: 100 * cell.tooSmallInterval[1],
      detectable: cell.detectable,
      failed: cell.failed,
    })),
  };
}
