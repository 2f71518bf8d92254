import { readFileSync } from 'node:fs';
import type {
  InstantDefinition,
  MetricDefinition,
  MetricRelation,
  QuantityDefinition,
} from './definition.ts';
import type { MetricColumn } from './generated/columns.ts';

const file = JSON.parse(
  readFileSync(new URL('../../../data-schemas/metrics.json', import.meta.url), 'utf8'),
) as {
  readonly instants: readonly InstantDefinition[];
  readonly metrics: readonly MetricDefinition[];
  readonly quantities: readonly QuantityDefinition[];
  readonly relations: readonly MetricRelation[];
};

/**
 * The instants of the swing in order, each with its definitions.
 *
 * @example instantCatalogue.find(({ name }) => name === 'top')?.definitions[0].way // 'club reversal'
 */
export const instantCatalogue: readonly InstantDefinition[] = file.instants;

/**
 * Every metric of the swings table, in the order of the columns of the swings table.
 *
 * @example metricCatalogue.length // 28
 */
export const metricCatalogue: readonly MetricDefinition[] = file.metrics;

/**
 * Quantities that are defined but have no column in the swings table: second definitions, the same angle in
 * another plane or at another instant.
 *
 * @example quantityCatalogue.find(({ id }) => id === 'spin_loft')?.unit // 'deg'
 */
export const quantityCatalogue: readonly QuantityDefinition[] = file.quantities;

/** What must hold between metrics of one swing. */
export const metricRelations: readonly MetricRelation[] = file.relations;

const byColumn: ReadonlyMap<string, MetricDefinition> = new Map(
  metricCatalogue.map((metric) => [metric.column, metric]),
);

/**
 * Whether `column` is a metric column of the swings table.
 * @example isMetricColumn('shaft_lean_impact_deg') // true
 */
export function isMetricColumn(column: string): column is MetricColumn {
  return byColumn.has(column);
}

/**
 * The definition of a metric column.
 *
 * @throws Error when there is no such metric; the message lists the metrics there are.
 * @example metricByColumn('shaft_lean_impact_deg').unit // 'deg'
 */
export function metricByColumn(column: string): MetricDefinition {
  const metric = byColumn.get(column);
  if (metric === undefined)
    throw new Error(
      `metricByColumn: there is no metric '${column}'. Use one of: ${[...byColumn.keys()].join(', ')}.`,
    );
  return metric;
}
