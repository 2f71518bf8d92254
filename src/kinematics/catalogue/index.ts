export { isMetricColumn, metricByColumn, metricCatalogue, metricRelations } from './catalogue.ts';
export type {
  DifferenceOf,
  MetricDefinition,
  MetricKind,
  MetricRelation,
  MetricUnit,
  NeverBelow,
  RatioOf,
  SuspectReading,
  UsuallyAbove,
} from './definition.ts';
export type { MetricColumn } from './generated/columns.ts';
